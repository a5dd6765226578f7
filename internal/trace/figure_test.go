package trace

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// The figure's films are looked at in frames of so many pixels.
const figureWidth, figureHeight = 140, 90

// figureFilm is a rendered delivery, see testdata/figure.
type figureFilm struct {
	Release float64 // exact, seconds
	FPS     float64
	frames  [][]byte
}

func readFigure(t *testing.T, name string) (f figureFilm) {
	t.Helper()
	path := filepath.Join("..", "..", "testdata", "figure", name)
	raw, err := os.ReadFile(path + ".json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &f); err != nil {
		t.Fatal(err)
	}
	gray, err := exec.Command("ffmpeg", "-v", "error", "-nostdin", "-i", path+".mp4", "-vf", "scale=140:90:flags=area,format=gray", "-f", "rawvideo", "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for size := figureWidth * figureHeight; len(gray) >= size; gray = gray[size:] {
		f.frames = append(f.frames, gray[:size])
	}
	return f
}

// A release marked on one human delivery carries over to within a frame of 60 to others of
// hers, also where they last 10 or 15 % longer: filmed one after the other, each fading
// into the next one's set position.
func TestAMarkCarriesOverToSlowerDeliveries(t *testing.T) {
	t.Parallel()
	motion, truth := deliveriesInARow(t, func(f figureFilm, at, stretch float64, show func(frame []byte, at float64)) {
		for i, frame := range f.frames {
			show(frame, at+stretch*float64(i)/f.FPS)
		}
	})
	releasesWithin(t, motion, truth, 1.0/60, true)
}

// The same film as a program leaves it that takes 30 or 20 of its pictures a second, and
// shows each at 60 frames a second for as long as its turn lasts, now two frames, now
// three or four: most samples are whole, though every other frame is a repeat. All are
// surely found at 30; at 20, where what was mended lies near every release, none is, and all
// are within that picture all the same.
func TestAMarkCarriesOverWherePicturesAreRepeated(t *testing.T) {
	t.Parallel()
	for _, every := range []int{2, 3} {
		t.Run(fmt.Sprintf("%d pictures a second", 60/every), func(t *testing.T) {
			t.Parallel()
			motion, truth := deliveriesInARow(t, func(f figureFilm, at, stretch float64, show func(frame []byte, at float64)) {
				const step = 1.0 / 60
				for s := 0.0; s < stretch*float64(len(f.frames))*step; s += step {
					picture := int(s/stretch*f.FPS+1e-6) / every * every
					show(f.frames[min(picture, len(f.frames)-1)], at+s)
				}
			})
			releasesWithin(t, motion, truth, float64(every)/60, every == 2)
		})
	}
}

// deliveriesInARow films deliveries of one pitcher one after the other, some slower, each
// fading into the next one's set position; play shows one from a second of the film on.
// It returns the motion and the releases.
func deliveriesInARow(t *testing.T, play func(f figureFilm, at, stretch float64, show func(frame []byte, at float64))) (*Motion, []float64) {
	t.Helper()
	meter, at := NewMeter(figureWidth, figureHeight, 1), 0.0
	var last []byte
	var truth []float64
	for _, d := range []struct {
		name    string
		stretch float64
	}{{"fast", 1}, {"slow", 1}, {"fast", 1.10}, {"short", 1}, {"slow", 1.15}, {"lean10", 1.10}} {
		f := readFigure(t, d.name)
		step, first := 1/f.FPS, f.frames[0]
		if last == nil {
			last = first
		}
		for s := 0.0; s < 3; s += step {
			share := min(max((s-0.5)/1.5, 0), 1)
			mixed := make([]byte, len(first))
			for i := range mixed {
				mixed[i] = byte(math.Round((1-share)*float64(last[i]) + share*float64(first[i])))
			}
			meter.Add(mixed, at)
			at += step
		}
		truth = append(truth, at+d.stretch*f.Release)
		play(f, at, d.stretch, meter.Add)
		at += d.stretch * float64(len(f.frames)) * step
		last = f.frames[len(f.frames)-1]
	}
	return meter.Motion(), truth
}

// releasesWithin marks the first of the releases and holds the others to it, by how many
// seconds they may be off, and to whether they are surely found: all or none.
func releasesWithin(t *testing.T, motion *Motion, truth []float64, most float64, surely bool) {
	t.Helper()
	found := Transfer(motion, nil, truth[:1])
	if len(found.Candidates) != len(truth) {
		t.Fatalf("%d of %d deliveries are found", len(found.Candidates), len(truth))
	}
	for i, c := range found.Candidates {
		off := c.Release - truth[i]
		if sure := !math.IsNaN(c.Found); math.Abs(off) > most || sure != surely {
			t.Errorf("release %d is %.0f ms off, surely found: %v", i+1, 1000*off, sure)
		}
	}
}
