package tempo

import (
	"math/rand/v2"
	"testing"

	"tenoff/internal/trace"
)

// A lens that zooms is told from the to and fro of what a shaking hand is followed with.
func TestZoom(t *testing.T) {
	film := func(of func(i int) float32) *trace.Motion {
		m := &trace.Motion{Cols: 32, Rows: 18, Slow: 1}
		for i := range 90 {
			m.Times = append(m.Times, float64(i)/30)
			m.Shifts = append(m.Shifts, trace.Shift{S: of(i), Lag: 1.0 / 30})
		}
		return m
	}
	for seed := range uint64(20) {
		dice := rand.New(rand.NewPCG(seed, 1))
		for _, c := range []struct {
			name   string
			of     func(i int) float32
			zoomed bool
		}{
			{"a steady camera whose scale is read a trace too large", func(int) float32 { return 0.00048 }, false},
			{"a shaking hand", func(int) float32 { return float32(0.008 * dice.NormFloat64()) }, false},
			{"a zoom", func(i int) float32 { return 0.0015 }, true},
			{"a zoom by a shaking hand", func(i int) float32 { return float32(0.003 + 0.0015*dice.NormFloat64()) }, true},
		} {
			if _, _, zoom := path(film(c.of), 10, 70, 50); zoom > mostZoom != c.zoomed {
				t.Errorf("%s, seed %d: %.3f", c.name, seed, zoom)
			}
		}
	}
}
