package judged

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
)

// What is judged is what her joints leave sure; and they are held to a mark where there is
// one, else to what was found.
func TestJudgedWithTheSecondWitness(t *testing.T) {
	b, _ := penOf([]float64{0}, nil)
	r, film := b.Reps[0], b.Films[0]
	found := store.Instants{
		RepID: r.ID, FilmID: film.ID, Mark: r.Release, Slow: film.Clock.Slow,
		Plant: store.FoundInstant{Seconds: 1.90, Sure: true}, Top: store.FoundInstant{Seconds: 1.82, Sure: true},
	}
	seen := posture.Sights{Plant: posture.Sight{Seconds: 1.98, U: 0.012}, Top: posture.Sight{Seconds: 1.81, U: 0.018}}
	f := b.Facts
	if got := standing(f, []store.Instants{found})[r.ID]; !got.Plant.Sure || !got.Top.Sure {
		t.Errorf("without joints: %+v", got)
	}
	f.Seen = map[string]posture.Sights{r.ID: seen}
	f.Found = standing(f, []store.Instants{found})
	if got := f.Found[r.ID]; got.Plant.Sure || !got.Top.Sure {
		t.Errorf("five frames apart: %+v", got)
	}
	for mark, want := range map[int]posture.Beside{bullpen.Unmarked: posture.BesideDiffers, 114: posture.BesideDiffers, 119: posture.BesideAgrees} {
		f.Reps[0].Plant = mark
		if got := Of(f).Beside(f.Reps[0], film, bullpen.Plant); got != want {
			t.Errorf("plant marked at frame %d, seen at 1.98 s: %q, want %q", mark, got, want)
		}
	}
	if got := Of(f).Beside(f.Reps[0], film, bullpen.Drive); got != posture.BesideNothing {
		t.Errorf("the drive, which joints don't show: %q", got)
	}
}
