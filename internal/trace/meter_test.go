package trace

import (
	"math"
	"testing"
)

// The camera's movement that was drawn is found, whoever moves in the picture.
func TestMeterFollowsTheCamera(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name  string
		step  Shift // per frame
		disc  float64
		noise float64
	}{
		{"tripod", Shift{}, 0, 3},
		{"pan", Shift{X: 0.7, Y: -0.2}, 0, 3},
		{"shake and turn", Shift{X: 0.4, Y: 0.5, S: 0.002, R: 0.004}, 0, 3},
		{"pan with a big moving body", Shift{X: -0.6, Y: 0.1}, 18, 3},
		{"pan in the dim", Shift{X: 1.5}, 0, 5},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := newScene(160, 90, c.noise, 7)
			m := NewMeter(160, 90, 1)
			var p Shift
			const n = 12
			for i := range n {
				k := float32(i)
				p = Shift{X: k * c.step.X, Y: k * c.step.Y, S: k * c.step.S, R: k * c.step.R}
				m.Add(s.draw(p, disc{30 + 6*float64(i), 45, c.disc}), float64(i)/30)
			}
			got := m.Motion()
			if got.Len() != n-1 {
				t.Fatalf("%d samples of %d frames", got.Len(), n)
			}
			for i, q := range got.Shifts {
				// To first order one step's movement is the same from any frame.
				const near, turn = 0.06, 0.0012
				if math.Abs(float64(q.X-c.step.X)) > near || math.Abs(float64(q.Y-c.step.Y)) > near ||
					math.Abs(float64(q.S-c.step.S)) > turn || math.Abs(float64(q.R-c.step.R)) > turn {
					t.Errorf("sample %d: moved %+v, drawn %+v", i, q, c.step)
				}
			}
		})
	}
}

// Energy lies where something moves, and nowhere else, though the camera shakes.
func TestMeterSeesWhatMoves(t *testing.T) {
	s := newScene(160, 90, 3, 3)
	m := NewMeter(160, 90, 1)
	const n = 20
	for i := range n {
		p := Shift{X: float32(0.8 * math.Sin(float64(i))), Y: float32(0.5 * math.Cos(1.7*float64(i)))}
		m.Add(s.draw(p, disc{40 + 3*float64(i), 30, 8}), float64(i)/30)
	}
	got := m.Motion()
	var inside, outside float64
	for i := range got.Len() {
		for k, v := range got.Cells(i, nil) {
			x, y := float64(k%got.Cols)*5+2.5, float64(k/got.Cols)*5+2.5
			if math.Hypot(x-(40+3*(float64(i)+0.5)), y-30) < 16 {
				inside += float64(v * v)
			} else {
				outside += float64(v * v)
			}
		}
	}
	if inside < 1000*float64(got.Len()) || outside > 0.05*inside {
		t.Errorf("energy %.0f where the disc moves, %.0f elsewhere", inside, outside)
	}
}

// Whatever the frame rate, and slowed or not, a sample spans about 33 ms of real
// time, and there are at most about 60 a second.
func TestMeterLag(t *testing.T) {
	for _, c := range []struct {
		fps, slow  float64
		lag, apart float64 // wanted, real seconds
	}{
		{24, 1, 1. / 24, 1. / 24},
		{30, 1, 1. / 30, 1. / 30},
		{50, 1, 2. / 50, 1. / 50},
		{60, 1, 2. / 60, 1. / 60},
		{120, 1, 4. / 120, 2. / 120},
		{240, 1, 8. / 240, 4. / 240},
		{240, 8, 8. / 240, 4. / 240},
	} {
		m := NewMeter(20, 20, c.slow)
		gray := make([]byte, 400)
		n := int(c.fps)
		for i := range n {
			m.Add(gray, float64(i)/c.fps*c.slow)
		}
		got := m.Motion()
		for i := 1; i < got.Len(); i++ {
			lag, apart := float64(got.Shifts[i].Lag)/c.slow, (got.Times[i]-got.Times[i-1])/c.slow
			if math.Abs(lag-c.lag) > 1e-4 || math.Abs(apart-c.apart) > 1e-4 {
				t.Errorf("%g fps, slow %g, sample %d: lag %.4f, want %.4f; apart %.4f, want %.4f",
					c.fps, c.slow, i, lag, c.lag, apart, c.apart)
				break
			}
		}
		if got.Len() < int(0.8/c.apart) {
			t.Errorf("%g fps: only %d samples of a second", c.fps, got.Len())
		}
	}
}

// Every sixth frame repeated, as re-timing does: found and mended, at 30 and at
// 60 frames a second; a clean film, moving or not, has none.
func TestMeterMendsRepeatedFrames(t *testing.T) {
	t.Parallel()
	for _, fps := range []float64{30, 60} {
		for _, every := range []int{0, 6} {
			s := newScene(160, 90, 3, 9)
			m := NewMeter(160, 90, 1)
			var last []byte
			repeats := 0
			for i := range 120 {
				gray := last
				if every == 0 || i == 0 || i%every != 0 {
					gray = s.draw(Shift{}, disc{80 + 30*math.Sin(float64(i)*0.15*30/fps), 45, 9})
				} else {
					repeats++
				}
				m.Add(gray, float64(i)/fps)
				last = gray
			}
			got := m.Motion()
			share := got.DoubledShare()
			want := float64(repeats) / 120 * math.Round(fps/30)
			if math.Abs(share-want) > 0.03 {
				t.Errorf("%g fps, every %d: %.3f of the samples repeated, want %.3f", fps, every, share, want)
			}
			energy := got.Energy()
			for i, doubled := range got.Doubled {
				if doubled && i > 0 && i < len(energy)-2 && energy[i] < 0.3*max(energy[i-1], 1) {
					t.Errorf("%g fps: sample %d is not mended: %.0f after %.0f", fps, i, energy[i], energy[i-1])
				}
			}
		}
	}
}

// Frames that make no sense are passed over.
func TestMeterBadFrames(t *testing.T) {
	for _, m := range []*Meter{NewMeter(0, 0, 1), NewMeter(3, 3, 0), NewMeter(20, 20, math.NaN())} {
		m.Add(nil, 0)
		m.Add(make([]byte, 400), 1)
		m.Add(make([]byte, 400), 1)
		m.Add(make([]byte, 400), math.NaN())
		m.Add(make([]byte, 10), 2)
		if got := m.Motion(); got.Len() != 0 {
			t.Errorf("%d samples", got.Len())
		}
	}
}

func BenchmarkMeter(b *testing.B) {
	for _, c := range []struct {
		name  string
		shake float64
	}{{"tripod", 0}, {"handheld", 0.8}} {
		b.Run(c.name, func(b *testing.B) {
			s := newScene(160, 90, 4, 5)
			var frames [24][]byte
			for i := range frames {
				p := Shift{
					X: float32(c.shake * math.Sin(float64(i)*0.52)), Y: float32(c.shake * math.Sin(float64(i)*0.26)),
					R: float32(c.shake * 0.002 * math.Sin(float64(i)*0.26)),
				}
				frames[i] = s.draw(p, disc{80 + 30*math.Sin(float64(i)*0.26), 45, 9})
			}
			m := NewMeter(160, 90, 1)
			i := 0
			for b.Loop() {
				m.Add(frames[i%len(frames)], float64(i)/60)
				i++
			}
		})
	}
}
