package film

import (
	"bytes"
	"io"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
)

// TestWorkingCopyGrows looks at a film's working copy whenever a stretch of it is complete:
// each time it has the first frames, the numbers on them those of the clock, at their
// times, and the sound that belongs to them; and the last one has the finished file's
// very samples.
func TestWorkingCopyGrows(t *testing.T) {
	for name, recipe := range map[string]filmtest.Recipe{
		"HEVC":        {Codec: "hevc", Sound: true},
		"HDR":         {Codec: "hlg", Sound: true},
		"rate varies": {Codec: "hevc", Timescale: 600, Pts: "20*N+20*floor(N/10)+5*mod(N*7,4)", Sound: true},
		"trimmed":     {BFrames: 2, Sound: true, Trim: 0.4},
		"silent":      {Codec: "hevc", Rate: "240"},
		"late sound":  {Codec: "hevc", Sound: true, SoundLate: 1.5},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			recipe.Name, recipe.Numbered, recipe.Frames = "film.mov", true, 130
			if recipe.Rate == "240" {
				recipe.Frames = 500
			}
			dir := t.TempDir()
			path, err := recipe.Make(t.Context(), dir)
			if err != nil {
				t.Fatal(err)
			}
			facts, err := Probe(t.Context(), path, "")
			if err != nil {
				t.Fatal(err)
			}
			var copies [][]byte
			var frames []int
			var last *Growing
			made, err := ReadAlong(t.Context(), path, facts, dir, Along{Grown: func(g *Growing) {
				last = g
				n := g.Frames()
				o, err := g.Opened(n)
				if err != nil {
					t.Errorf("after %d frames: %v", n, err)
					return
				}
				data, err := io.ReadAll(o.Reader())
				if err != nil || int64(len(data)) != o.Size() {
					t.Errorf("%d bytes of %d: %v", len(data), o.Size(), err)
				}
				if _, err := g.Opened(n + 1); err == nil {
					t.Error("it opens with a frame that is not there")
				}
				copies, frames = append(copies, data), append(frames, n)
			}})
			if err != nil {
				t.Fatal(err)
			}
			defer last.Close()
			if len(copies) < 3 || !slices.IsSorted(frames) || frames[len(frames)-1] != made.Clock.Frames() {
				t.Fatalf("it grew to %v of %d frames", frames, made.Clock.Frames())
			}
			whole := packetsOf(t, filepath.Join(dir, made.Working))
			hidden := 0
			if recipe.Trim > 0 {
				hidden = 12 // of 0.4 s at 30 frames a second
			}
			for i, data := range copies {
				at := filepath.Join(t.TempDir(), "stretch.mp4")
				if err := os.WriteFile(at, data, 0o600); err != nil {
					t.Fatal(err)
				}
				got, err := frameTimes(bytes.NewReader(data))
				if err != nil {
					t.Fatal(err)
				}
				if d := cmp.Diff(WorkingTicks(made.Clock)[:frames[i]], got); d != "" {
					t.Fatalf("the times of the first %d frames (-clock +stretch):\n%s", frames[i], d)
				}
				packets := packetsOf(t, at)
				for _, p := range packets {
					if !slices.Contains(whole, p) {
						t.Fatalf("of the first %d frames the finished copy has no %q", frames[i], p)
					}
				}
				if i == len(copies)-1 && len(packets) != len(whole) {
					t.Errorf("%d packets, the finished copy has %d", len(packets), len(whole))
				}
				numbers, err := filmtest.Numbers(t.Context(), filmtest.Reading{Path: at})
				if err != nil {
					t.Fatal(err)
				}
				for n, number := range numbers[0] {
					if number != hidden+n {
						t.Fatalf("of the first %d frames, %d shows %d", frames[i], n, number)
					}
				}
				if len(numbers[0]) != frames[i] {
					t.Errorf("%d frames can be decoded of %d", len(numbers[0]), frames[i])
				}
			}
		})
	}
}

// A film whose first frames can't be decoded has other frames than it promised: nothing of
// it is shown before all was read, for marks count by their indices.
func TestAstrayFilmIsNotShownEarly(t *testing.T) {
	g, err := newGrowing(Facts{}, 5, filepath.Join(t.TempDir(), "working.mp4"), func() (int64, bool) { return 6, true })
	if err != nil {
		t.Fatal(err)
	}
	defer g.Close()
	g.promised = []int64{0, 3000, 6000}
	track := &grown{picture: true}
	g.tracks = []*grown{track}
	part := grown{sizes: []uint32{1, 1}, times: []int64{0, 3000}, last: 3000}
	if err := g.add(&adding{of: []*grown{track}, from: []grown{part}}, 2); err != nil {
		t.Fatal(err)
	}
	if n := g.Frames(); n != 0 {
		t.Errorf("%d frames are shown of a film that begins with another one", n)
	}
	if _, err := g.Opened(2); err == nil {
		t.Error("it opens")
	}
}

// The stretches of a short film may all be there before the pass knows its first frame: it
// is compared even so.
func TestAstrayIsSeenAfterTheLastStretch(t *testing.T) {
	for first, want := range map[int64]int{5: 2, 6: 0} {
		known := false
		g, err := newGrowing(Facts{}, 5, filepath.Join(t.TempDir(), "working.mp4"), func() (int64, bool) { return first, known })
		if err != nil {
			t.Fatal(err)
		}
		defer g.Close()
		g.promised = []int64{0, 3000}
		track := &grown{picture: true}
		g.tracks = []*grown{track}
		part := grown{sizes: []uint32{1, 1}, times: []int64{0, 3000}, last: 3000}
		if err := g.add(&adding{of: []*grown{track}, from: []grown{part}}, 2); err != nil {
			t.Fatal(err)
		}
		if n := g.Frames(); n != 0 {
			t.Errorf("%d frames are shown before the first one is known", n)
		}
		known = true
		if n := g.Frames(); n != want {
			t.Errorf("the first frame is at %d, promised at 5: %d frames are shown", first, n)
		}
		if want == 0 {
			if _, err := g.Opened(2); bullpen.CodeOf(err) != bullpen.NotFound {
				t.Errorf("the first frame is at %d, promised at 5, and it opens: %v", first, err)
			}
		}
	}
}

// What is no stretch ends the reading with an error, never the program.
func TestTornStretches(t *testing.T) {
	recipe := filmtest.Recipe{Name: "a.mp4", Frames: 40, Width: 64, Height: 64, Sound: true, Options: []string{"-movflags", "+empty_moov+delay_moov+default_base_moof", "-frag_duration", "500000"}}
	path, err := recipe.Make(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	film := contents(t, path)
	facts := Facts{}
	for cut := 0; cut < len(film); cut += 1 + len(film)/400 {
		for _, hurt := range [][]byte{film[:cut], spoiled(film, cut)} {
			g, err := newGrowing(facts, 0, filepath.Join(t.TempDir(), "working.mp4"), func() (int64, bool) { return 0, true })
			if err != nil {
				t.Fatal(err)
			}
			_ = g.take(bytes.NewReader(hurt), nil)
			g.mu.RLock()
			for _, s := range g.stretches {
				g.written(s)
			}
			g.mu.RUnlock()
			g.Close()
		}
	}
}

// spoiled returns a film with four bytes of it set.
func spoiled(film []byte, at int) []byte {
	hurt := bytes.Clone(film)
	copy(hurt[at:], "\xff\xff\xff\xff")
	return hurt
}
