//go:build unix

package clip

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/proc"
)

// cpu is the processor time of this process and of those it waited for.
func cpu() time.Duration {
	var sum time.Duration
	for _, who := range []int{syscall.RUSAGE_SELF, syscall.RUSAGE_CHILDREN} {
		var u syscall.Rusage
		if syscall.Getrusage(who, &u) == nil {
			sum += time.Duration(u.Utime.Nano() + u.Stime.Nano())
		}
	}
	return sum
}

// BenchmarkWholeClip prints what a clip costs against ffmpeg doing the same
// encode without bar and captions: processor and wall time of everything, taken
// in turns.
func BenchmarkWholeClip(b *testing.B) {
	film := shared.make(b, "full size", recipe{size: "1920x1080", fps: "60", seconds: 4.6, noise: 12, base: 15360, sound: true,
		output: []string{"-b:v", "24M"}})
	p, err := PlanSingle(Single{Side: Side{film, 180, facts(), nil}})
	if err != nil {
		b.Fatal(err)
	}
	bare := p
	bare.Args = withoutCaptions(b, p.Args)
	out := filepath.Join(b.TempDir(), "out.mp4")
	var ours, theirs, oursWall, theirsWall time.Duration
	for b.Loop() {
		c, w := cpu(), time.Now()
		if err := Run(context.Background(), p, out, nil); err != nil {
			b.Fatal(err)
		}
		ours, oursWall = ours+cpu()-c, oursWall+time.Since(w)
		c, w = cpu(), time.Now()
		if _, err := proc.Run(context.Background(), proc.Cmd{Name: "ffmpeg", Dir: b.TempDir(),
			Args: append(append([]string{"-y", "-loglevel", "error", "-copyts"}, bare.Args...), "out.mp4")}); err != nil {
			b.Fatal(err)
		}
		theirs, theirsWall = theirs+cpu()-c, theirsWall+time.Since(w)
	}
	b.ReportMetric(float64(ours)/float64(theirs), "cpu-ratio")
	b.ReportMetric(float64(oursWall)/float64(theirsWall), "wall-ratio")
	if info, err := os.Stat(out); err == nil {
		b.ReportMetric(float64(info.Size())/1e6, "MB")
	}
}

// withoutCaptions leaves the bar and the captions out of a plan's arguments.
func withoutCaptions(b *testing.B, args []string) []string {
	out := slices.Clone(args)
	for i, a := range out {
		from, to := strings.Index(a, "pad=w=iw:h=ih+"), strings.Index(a, "setpts=PTS-90")
		if from >= 0 && to > from {
			out[i] = a[:from] + "null" + a[to+len("setpts=PTS-90"):]
			return out
		}
	}
	b.Fatalf("no captions in %q", args)
	return nil
}
