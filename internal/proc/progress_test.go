package proc

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

func TestReadProgress(t *testing.T) {
	const said = `frame=12
fps=0.00
out_time_us=400000
out_time_ms=400000
out_time=00:00:00.400000
progress=continue
frame=N/A
out_time_us=N/A
progress=continue
frame=  30
out_time_us=1000000
progress=end
`
	var got []Progress
	if err := readProgress(strings.NewReader(said), func(p Progress) { got = append(got, p) }); err != nil {
		t.Fatal(err)
	}
	want := []Progress{
		{Frames: 12, Time: 400 * time.Millisecond},
		{Frames: 12, Time: 400 * time.Millisecond},
		{Frames: 30, Time: time.Second, End: true},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestProgressOfARealRun(t *testing.T) {
	var last Progress
	args := append([]string{"-hide_banner", "-nostdin", "-loglevel", "error"}, ProgressFlags()...)
	args = append(args, "-f", "lavfi", "-i", "testsrc2=s=64x64:r=30:d=2", "-f", "null", "-")
	if _, err := Run(t.Context(), Cmd{Name: "ffmpeg", Args: args, Progress: func(p Progress) { last = p }}); err != nil {
		t.Fatal(err)
	}
	if last.Frames != 60 || !last.End || last.Time < 1900*time.Millisecond {
		t.Errorf("%+v", last)
	}
}

func FuzzReadProgress(f *testing.F) {
	f.Add("frame=1\nprogress=end\n")
	f.Add("==\nframe=-1\nprogress=\n")
	f.Fuzz(func(t *testing.T, said string) {
		reports := 0
		err := readProgress(strings.NewReader(said), func(Progress) { reports++ })
		if err == nil && reports > strings.Count(said, "progress") {
			t.Errorf("%d reports", reports)
		}
	})
}
