package clip

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

// chart is two deliveries as they are compared.
func chart() *caption.Chart {
	at := func(s float64) *float64 { return &s }
	trace := func(peak float64) caption.Trace {
		t := caption.Trace{From: -1.2, Step: 1.0 / 60}
		for k := range 97 {
			d := t.From + float64(k)*t.Step - peak
			t.Values = append(t.Values, float32(math.Exp(-d*d/0.02)))
		}
		return t
	}
	return &caption.Chart{
		Words: "Drive to plant 50 ms longer · top to release 20 ms longer",
		Rows: []caption.ChartRow{
			{Name: "Change-up", Drive: at(-0.62), Plant: at(-0.13), Top: at(-0.15), Release: at(0), Motion: trace(-0.1)},
			{Name: "Fastball", Drive: at(-0.56), Plant: at(-0.11), Top: at(-0.13), Release: at(0), Motion: trace(-0.05)},
		},
	}
}

func TestChartIsBurnedUnderAPair(t *testing.T) {
	film := shared.make(t, "sound for charts", recipe{size: "192x108", sound: true, seconds: 5})
	p, err := PlanPair(Pair{Left: Side{film, 70, facts(), nil}, Right: Side{film, 80, facts(), nil}, Window: Window{Before: 1, After: 0.5}, Chart: chart()})
	if err != nil {
		t.Fatal(err)
	}
	plain, err := PlanPair(Pair{Left: Side{film, 70, facts(), nil}, Right: Side{film, 80, facts(), nil}, Window: Window{Before: 1, After: 0.5}})
	if err != nil {
		t.Fatal(err)
	}
	if p.Width != plain.Width || p.Height <= plain.Height || p.Release != plain.Release || p.Length != plain.Length {
		t.Errorf("%dx%d at %v, without a chart %dx%d at %v", p.Width, p.Height, p.Release, plain.Width, plain.Height, plain.Release)
	}
	out := made(t, func() (Plan, error) { return p, nil })
	// The playhead lies over the lanes' release when the release is on show, and
	// left of it before: what changes within the chart moves to the right.
	gray := run(t, "ffmpeg", "-v", "error", "-i", out, "-f", "rawvideo", "-pix_fmt", "gray", "-")
	size := p.Width * p.Height
	frames := len(gray) / size
	fps := float64(frames) / p.Length.Seconds()
	frame := func(at time.Duration) []byte {
		k := int(math.Round(at.Seconds() * fps))
		return gray[k*size : (k+1)*size]
	}
	moved := func(a, b []byte) (left, right int) {
		left, right = p.Width, 0
		for y := plain.Height + p.Bar.Em*2; y < p.Height-p.Bar.Em*2; y++ {
			for x := range p.Width {
				if d := int(a[y*p.Width+x]) - int(b[y*p.Width+x]); d > 60 || d < -60 {
					left, right = min(left, x), max(right, x)
				}
			}
		}
		return left, right
	}
	step := 200 * time.Millisecond
	a, b := moved(frame(p.Release-2*step), frame(p.Release-step))
	c, d := moved(frame(p.Release-step), frame(p.Release))
	if a >= b || c >= d || c < a+10 || d < b+10 {
		t.Errorf("the playhead moved from %d..%d to %d..%d", a, b, c, d)
	}
	// Twice the time, twice the way, to the pixel or two.
	if math.Abs(float64((b-a)-(d-c))) > 4 {
		t.Errorf("its steps are %d and %d pixels", b-a, d-c)
	}
}

// A pair that is stretched plays the left rep faster, so that the same share of the
// delivery is on show, and says so; it is released with the other all the same.
func TestStretchedPair(t *testing.T) {
	film := shared.make(t, "sound for charts", recipe{size: "192x108", sound: true, seconds: 5})
	pair := Pair{Left: Side{film, 70, facts(), nil}, Right: Side{film, 70, facts(), nil}, Window: Window{Before: 1, After: 0.5}}
	even, err := PlanPair(pair)
	if err != nil {
		t.Fatal(err)
	}
	pair.Stretch = 1.25
	p, err := PlanPair(pair)
	if err != nil {
		t.Fatal(err)
	}
	if p.Release != even.Release || p.Length != even.Length {
		t.Errorf("released at %v of %v, without a stretch at %v of %v", p.Release, p.Length, even.Release, even.Length)
	}
	said := 0
	for _, c := range p.Cues {
		if c.Place == caption.Left && strings.Contains(fmt.Sprint(c.Rows), "played 1.25 times as fast") {
			said++
		}
	}
	if said != 2 {
		t.Errorf("said in %d of the left's cues", said)
	}
	out := made(t, func() (Plan, error) { return p, nil })
	cell := p.Width / 2
	w, h := film.within(cell, p.Bar.Top)
	below := p
	below.Bar.Top += p.Bar.Height / 3
	below.Bar.Height -= p.Bar.Height / 3
	for i, times := range []float64{1.25, 1} {
		frames := look(t, out, below, place{i*cell + (cell-w)/2, (p.Bar.Top - h) / 2, w, film.Width}, i*cell, cell)
		checkSwitch(t, frames, 70, int64(p.Release.Seconds()*rate+0.5))
		for _, f := range frames {
			// On show is the last frame that is due: within one of this film's frames.
			real := (float64(f.at)/rate - p.Release.Seconds()) * times
			if want := 70 + int(math.Floor(real*30+1e-6)); f.number != want && f.number != want+1 && f.number != want-1 {
				t.Errorf("at %.3f s frame %d is on show, want %d", float64(f.at)/rate, f.number, want)
			}
		}
	}
	for _, bad := range []float64{0.4, 2.1, math.NaN()} {
		pair.Stretch = bad
		if _, err := PlanPair(pair); bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("stretched %v times: %v", bad, err)
		}
	}
}

// Where two pictures are alike their difference is black, and has no tint.
func TestDifferenceOfAPair(t *testing.T) {
	film := shared.make(t, "sound for charts", recipe{size: "192x108", sound: true, seconds: 5})
	out := made(t, func() (Plan, error) {
		return PlanPair(Pair{Left: Side{film, 70, facts(), nil}, Right: Side{film, 70, facts(), nil}, Window: Window{Before: 0.2, After: 0.2}, Difference: true})
	})
	raw := run(t, "ffmpeg", "-v", "error", "-i", out, "-frames:v", "1", "-vf", "crop=iw:100:0:0", "-f", "rawvideo", "-pix_fmt", "rgb24", "-")
	for i, v := range raw {
		if v > 12 {
			t.Fatalf("byte %d is %d", i, v)
		}
	}
}
