package clip

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

// Whoever sees the clip can read it: from the pixels of twenty noisy clips, as
// encoded, a reader of printed text gets pitch, reading, gap and verdict back in
// all twenty.
func TestCaptionsAreReadOffThePixels(t *testing.T) {
	film := shared.make(t, "noisy", recipe{size: "800x450", fps: "30", seconds: 1, noise: 40})
	dir := t.TempDir()
	var list, graph, pages strings.Builder
	var inputs []string
	var want [][]string
	random := rand.New(rand.NewPCG(20, 4))
	verdicts := []bullpen.Verdict{bullpen.TooFirm, bullpen.InBand, bullpen.Soft, bullpen.TooSoft}
	for i := range 20 {
		kind := bullpen.PitchTypes[i%len(bullpen.PitchTypes)]
		reading := float64(38 + random.IntN(35))
		gap := bullpen.Speed(1+random.IntN(250)) / 10
		f := caption.Facts{
			Pitch: kind.Code, Unit: bullpen.MPH, Reading: &bullpen.Reading{Value: reading, Unit: bullpen.MPH, Step: 1},
			BaselinePitch: bullpen.Fastball, Baseline: new(bullpen.Speed(reading) + gap), Gap: &gap, Verdict: verdicts[i%4],
		}
		p, err := PlanSingle(Single{Side: Side{film, 15, f, nil}, Window: Window{Before: 0.1, After: 0.1}})
		if err != nil {
			t.Fatal(err)
		}
		out := filepath.Join(dir, fmt.Sprintf("%02d.mp4", i))
		if err := Run(context.Background(), p, out, nil); err != nil {
			t.Fatal(err)
		}
		inputs = append(inputs, "-i", out)
		fmt.Fprintf(&graph, "[%d:v]select='gte(t,%g)',trim=end_frame=1,setpts=0,crop=iw:%d:0:%d,format=gray,negate,pad=iw+40:ih+40:20:20:white[p%d];",
			i, p.Release.Seconds()-0.0001, p.Bar.Height, p.Bar.Top, i)
		fmt.Fprintf(&pages, "[p%d]", i)
		fmt.Fprintln(&list, filepath.Join(dir, fmt.Sprintf("%02d.png", i)))
		name := strings.ToUpper(kind.Name[:1]) + kind.Name[1:]
		want = append(want, []string{
			fmt.Sprintf("%s %g mph", name, reading),
			strings.TrimSuffix(fmt.Sprintf("%.1f", float64(gap)), ".0") + " under",
			string(f.Verdict),
		})
	}
	fmt.Fprintf(&graph, "%sconcat=n=%d", &pages, len(want))
	ffmpeg(t, append(inputs, "-filter_complex", graph.String(), "-fps_mode", "passthrough", "-start_number", "0", filepath.Join(dir, "%02d.png"))...)
	names := filepath.Join(dir, "pages.txt")
	if err := os.WriteFile(names, []byte(list.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv("OMP_THREAD_LIMIT", "1")
	read := strings.Split(string(run(t, "tesseract", names, "-", "--psm", "6")), "\f")
	if len(read) < len(want) {
		t.Fatalf("%d pages were read", len(read))
	}
	for i, parts := range want {
		text := strings.Join(strings.Fields(read[i]), " ")
		for _, part := range parts {
			if !strings.Contains(text, part) {
				t.Errorf("clip %d says %q, read was %q", i, part, text)
			}
		}
	}
}
