package film

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"image/jpeg"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
	"tenoff/internal/trace"
)

// TestEveryKindOfFilm reads each kind of film and follows every one of its frames
// by the number that it carries.
func TestEveryKindOfFilm(t *testing.T) {
	for _, k := range kinds() {
		t.Run(k.Name, func(t *testing.T) {
			t.Parallel()
			path := films.Path(t, k.Name)
			before := sum(t, path)
			facts, err := Probe(t.Context(), path, "")
			if err != nil {
				t.Fatal(err)
			}
			k.checkFacts(t, facts)
			dir := t.TempDir()
			var reports []float64
			made, err := Read(t.Context(), path, facts, dir, func(done float64) { reports = append(reports, done) })
			if err != nil {
				t.Fatal(err)
			}
			if sum(t, path) != before {
				t.Error("the original was changed")
			}
			k.checkFiles(t, dir, made)
			k.checkClock(t, made.Clock)
			k.checkFrames(t, path, dir, made)
			k.checkWorking(t, filepath.Join(dir, made.Working), made.Clock)
			k.checkStills(t, filepath.Join(dir, made.Working), made.Clock)
			k.checkStrip(t, filepath.Join(dir, made.Strip), made.Clock)
			k.checkTraces(t, dir, made)
			checkReports(t, reports)
		})
	}
}

func (k kind) checkFacts(t *testing.T, got Facts) {
	t.Helper()
	if d := cmp.Diff(bullpen.Clock{Slow: k.facts.Clock.Slow}, bullpen.Clock{Slow: got.Clock.Slow}); d != "" {
		t.Error(d)
	}
	type told struct {
		Container, Codec string
		Width, Height    int
		Transfer         Transfer
		HasSound, Slow   bool
		Recorded         int64
	}
	tell := func(f Facts, width, height int) told {
		return told{f.Container, f.Codec, width, height, f.Transfer, f.HasSound, f.SlowKnown, f.Recorded}
	}
	if d := cmp.Diff(tell(k.facts, k.width, k.height), tell(got, got.Width, got.Height)); d != "" {
		t.Error(d)
	}
}

func (k kind) checkFiles(t *testing.T, dir string, made Products) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	there := map[string]bool{}
	for _, e := range entries {
		there[e.Name()] = true
	}
	promised := map[string]bool{}
	for _, name := range made.Files() {
		promised[name] = true
	}
	if d := cmp.Diff(promised, there); d != "" {
		t.Error(d)
	}
	if (made.Sound != "") != k.Sound {
		t.Errorf("a trace of the sound: %q", made.Sound)
	}
	if made.Lost != 0 {
		t.Errorf("%d frames lost", made.Lost)
	}
}

// checkClock compares the clock with the recipe, exactly.
func (k kind) checkClock(t *testing.T, c bullpen.Clock) {
	t.Helper()
	if c.Frames() != k.frames {
		t.Fatalf("%d frames in the clock, not %d", c.Frames(), k.frames)
	}
	start := k.at(k.first)
	for i, tick := range c.Ticks {
		want := k.at(k.first + i)
		if tick*c.Num*want.per != (want.n-start.n)*c.Den {
			t.Fatalf("frame %d at %d/%d s, not %d/%d s", i, tick*c.Num, c.Den, want.n-start.n, want.per)
		}
	}
}

// checkFrames finds the very frame at every place of the working copy, and three
// frames in the file to cut from, by its own times.
func (k kind) checkFrames(t *testing.T, path, dir string, made Products) {
	t.Helper()
	if (made.Cut.File != "") != (k.facts.Container == mpegts) {
		t.Errorf("to cut from: %q", made.Cut.File)
	}
	container := k.facts.Container
	if made.Cut.File != "" {
		path, container = filepath.Join(dir, made.Cut.File), mov
	}
	if made.Cut.Container != container || (made.Cut.Audio >= 0) != k.Sound {
		t.Errorf("the file to cut from: %+v", made.Cut)
	}
	working, cut := k.reading(), k.reading()
	working.Path, cut.Path = filepath.Join(dir, made.Working), path
	some := []int{0, k.frames / 2, k.frames - 1}
	want := make([]int, len(some))
	plus := ""
	for n, i := range some {
		want[n] = k.first + i
		cut.Select += fmt.Sprintf("%seq(pts,%d)", plus, made.Cut.FirstTick+made.Clock.Ticks[i])
		plus = "+"
	}
	numbers, err := filmtest.Numbers(t.Context(), working, cut)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, numbers[1]); d != "" {
		t.Errorf("frames at their times in the file to cut from: %s", d)
	}
	if len(numbers[0]) != k.frames {
		t.Fatalf("the working copy has %d frames, not %d", len(numbers[0]), k.frames)
	}
	for i, n := range numbers[0] {
		if n != k.first+i {
			t.Fatalf("frame %d of the working copy carries number %d, not %d", i, n, k.first+i)
		}
	}
}

// checkWorking compares the working copy's times with what WorkingTicks says, by
// another program's reading of the file.
func (k kind) checkWorking(t *testing.T, path string, c bullpen.Clock) {
	t.Helper()
	f, err := Probe(t.Context(), path, "")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(WorkingTicks(c), f.Clock.Ticks); d != "" || f.Clock.Num != 1 || f.Clock.Den != WorkingRate || f.Cut.FirstTick != 0 {
		t.Errorf("times of the working copy, in 1/%d s from %d: %s", f.Clock.Den, f.Cut.FirstTick, d)
	}
	width, height := k.workingSize()
	if f.Codec != "h264" || f.Width != width || f.Height != height || f.Transfer != SDR || f.HasSound != k.Sound {
		t.Errorf("the working copy is %+v", f)
	}
}

// checkStills reads the number off single frames of films with a frame clock of
// each sort.
func (k kind) checkStills(t *testing.T, path string, c bullpen.Clock) {
	t.Helper()
	if k.Name != "usual.mp4" && !strings.HasPrefix(k.Name, "vary-") {
		return
	}
	for _, i := range []int{0, 1, c.Frames() / 2, c.Frames() - 1} {
		data, err := Still(t.Context(), path, c, i)
		if err != nil {
			t.Fatal(err)
		}
		picture, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("frame %d: %v", i, err)
		}
		if shown := filmtest.NumberIn(picture, k.reading()) - k.first; shown != i {
			t.Errorf("asked for frame %d, shown %d", i, shown)
		}
	}
}

// workingSize is stated here for itself: at most 1280, even.
func (k kind) workingSize() (int, int) {
	switch {
	case k.width == 1920:
		return 1280, 720
	case k.width == 353:
		return 352, 200
	}
	return k.width, k.height
}

func (k kind) reading() filmtest.Reading {
	r := filmtest.Reading{Undo: k.undo}
	if k.Width > 0 {
		r.Width, r.Height = k.Width, k.Height
	}
	return r
}

// checkStrip reads the number off each of the strip's pictures, where none has to
// be turned back.
func (k kind) checkStrip(t *testing.T, path string, c bullpen.Clock) {
	t.Helper()
	file, err := os.Open(path)
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
	if strip.Every != 0.25 || math.Abs(float64(strip.Len())-c.Seconds()/strip.Every) > 1 {
		t.Errorf("%d pictures, %v s each, of %v s", strip.Len(), strip.Every, c.Seconds())
	}
	for n := range strip.Len() {
		data, err := strip.Picture(n)
		if err != nil {
			t.Fatal(err)
		}
		picture, err := jpeg.Decode(bytes.NewReader(data))
		if err != nil {
			t.Fatalf("picture %d: %v", n, err)
		}
		if b := picture.Bounds(); min(b.Dx(), b.Dy()) != 90 {
			t.Errorf("picture %d is %v", n, b)
		}
		if k.undo != "" {
			continue
		}
		shown := filmtest.NumberIn(picture, k.reading()) - k.first
		if shown < 0 || shown >= c.Frames() {
			t.Errorf("picture %d carries number %d", n, shown+k.first)
			continue
		}
		// The frame that is on show in the middle of the picture's span, or its
		// neighbour.
		middle := c.At((float64(n) + 0.5) * strip.Every)
		if shown < middle-1 || shown > middle+1 {
			t.Errorf("picture %d shows frame %d, not %d", n, shown, middle)
		}
	}
}

func (k kind) checkTraces(t *testing.T, dir string, made Products) {
	t.Helper()
	var motion trace.Motion
	load(t, filepath.Join(dir, made.Motion), motion.UnmarshalBinary)
	if last := made.Clock.FileSeconds(made.Clock.Frames() - 1); math.Abs(motion.End-last) > 1e-9 {
		t.Errorf("the trace of motion ends at %v s, the film's last frame is at %v s", motion.End, last)
	}
	if motion.Slow != k.facts.Clock.Slow || motion.Len() == 0 {
		t.Errorf("trace of motion: slow %v, %d samples", motion.Slow, motion.Len())
	}
	if !k.Sound {
		return
	}
	var sound trace.Sound
	load(t, filepath.Join(dir, made.Sound), sound.UnmarshalBinary)
	for _, o := range sound.Onsets {
		if math.Abs(o.Time-k.beep) < 0.003 {
			return
		}
	}
	t.Errorf("no beep at %v s: %v", k.beep, sound.Onsets)
}

func checkReports(t *testing.T, reports []float64) {
	t.Helper()
	if len(reports) == 0 || reports[len(reports)-1] != 1 {
		t.Errorf("progress: %v", reports)
	}
	for i := 1; i < len(reports); i++ {
		if reports[i] <= reports[i-1] {
			t.Errorf("progress goes back: %v", reports)
		}
	}
}

func load(t *testing.T, path string, into func([]byte) error) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err == nil {
		err = into(data)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func sum(t *testing.T, path string) [32]byte {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	h := sha256.New()
	if _, err := io.Copy(h, file); err != nil {
		t.Fatal(err)
	}
	return [32]byte(h.Sum(nil))
}
