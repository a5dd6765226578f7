package demo

import (
	"testing"

	"tenoff/internal/demo/paint"
)

// BenchmarkGray draws the small gray frames that tests of motion work on; its
// frames/s are of all processors together.
func BenchmarkGray(b *testing.B) {
	take, err := Plan(Options{Seed: 1, Reps: Series(2, 2, Same, 1), Handheld: 4, Rest: 6})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := take.Gray(b.Context(), 160, 90, func(int, float64, []byte) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(take.Frames()*b.N)/b.Elapsed().Seconds(), "frames/s")
}

// BenchmarkDraw draws the newcomer's film without encoding it.
func BenchmarkDraw(b *testing.B) {
	_, _, o := Bullpen()
	o.Reps = o.Reps[:2]
	take, err := Plan(o)
	if err != nil {
		b.Fatal(err)
	}
	s := take.stage(o.Width, o.Height, 1, false)
	for b.Loop() {
		if err := take.each(b.Context(), s, whole, func(int, *paint.Canvas) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(take.Frames()*b.N)/b.Elapsed().Seconds(), "frames/s")
}
