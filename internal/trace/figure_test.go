package trace

import (
	"encoding/json"
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
		for _, frame := range f.frames {
			meter.Add(frame, at)
			at += d.stretch * step
			last = frame
		}
	}
	found := Transfer(meter.Motion(), nil, truth[:1])
	if len(found.Candidates) != len(truth) {
		t.Fatalf("%d of %d deliveries are found", len(found.Candidates), len(truth))
	}
	for i, c := range found.Candidates {
		if off := c.Release - truth[i]; math.Abs(off) > 1.0/60 {
			t.Errorf("release %d is %.0f ms off", i+1, 1000*off)
		} else {
			t.Logf("release %d is %.0f ms off", i+1, 1000*off)
		}
	}
}
