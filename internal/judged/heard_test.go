package judged

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/propose"
	"tenoff/internal/trace"
)

func TestWhatFilmsSayAgainstReadings(t *testing.T) {
	meant := &bullpen.Reading{Value: 47}
	heard := propose.FilmSpeeds{Speeds: map[string]trace.FilmSpeed{
		"swapped": {Speed: 47.3, U: 1, Doubt: trace.DigitsSwapped, Meant: meant},
		"fits":    {Speed: 55, U: 1},
		"pop":     {Doubt: trace.OthersPop},
	}}
	said := against(heard)
	if len(said) != 1 || said["swapped"] != (bullpen.FilmSays{Speed: 47.3, Meant: meant}) {
		t.Errorf("%+v", said)
	}
	b := Bullpen{Facts: Facts{Heard: heard, Pen: bullpen.Bullpen{Against: said}, Reps: []bullpen.Rep{{ID: "swapped"}, {ID: "fits"}, {ID: "pop"}, {ID: "none"}, {ID: "swapped", Sure: true}}}}
	for i, want := range []FilmSpeed{{47.3, 1, true, ""}, {55, 1, false, ""}, {0, 0, false, "Her reading is like her others, but the pop on the film is not: it may be another glove’s."}, {}, {47.3, 1, false, ""}} {
		if got, ok := b.FilmSpeed(i); got != want || ok == (i == 3) {
			t.Errorf("rep %d: %+v", i, got)
		}
	}
}
