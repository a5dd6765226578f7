package film

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"

	"tenoff/internal/film/filmtest"
)

// TestHalfAnHour reads a film of 30 minutes, small so that the suite keeps its
// time: every frame has its tick, the working copy agrees (Read compares them), and
// the strip reaches the end.
func TestHalfAnHour(t *testing.T) {
	t.Parallel()
	const minutes, rate = 30, 24
	dir := t.TempDir()
	minute, err := filmtest.Recipe{Name: "minute.mp4", Width: 96, Height: 54, Rate: fmt.Sprint(rate), Frames: 60 * rate}.Make(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	long := filepath.Join(dir, "long.mp4")
	if err := filmtest.FFmpeg(t.Context(), "-stream_loop", fmt.Sprint(minutes-1), "-i", minute, "-c", "copy", long); err != nil {
		t.Fatal(err)
	}
	facts, err := Probe(t.Context(), long, "")
	if err != nil {
		t.Fatal(err)
	}
	made, err := Read(t.Context(), long, facts, dir, func(float64) {})
	if err != nil {
		t.Fatal(err)
	}
	if n := made.Clock.Frames(); n != minutes*60*rate || made.Lost != 0 {
		t.Errorf("%d frames, %d lost, want %d", n, made.Lost, minutes*60*rate)
	}
	last := made.Clock.Frames() - 1
	if at := made.Clock.FileSeconds(last); math.Abs(at-(minutes*60-1.0/rate)) > 1e-3 {
		t.Errorf("the last frame is at %.4f s", at)
	}
	file, err := os.Open(filepath.Join(dir, made.Strip))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		t.Fatal(err)
	}
	strip, err := OpenStrip(file, info.Size())
	if err != nil {
		t.Fatal(err)
	}
	if end := float64(strip.Len()) * strip.Every; math.Abs(end-minutes*60) > 2*strip.Every {
		t.Errorf("%d pictures of %.2f s each", strip.Len(), strip.Every)
	}
}
