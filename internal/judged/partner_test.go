package judged

import (
	"testing"

	"tenoff/internal/bullpen"
)

func TestPartner(t *testing.T) {
	reading := func(v float64) *bullpen.Reading { return &bullpen.Reading{Value: v} }
	known := Facts{
		Pitcher: bullpen.Pitcher{BaselinePitch: bullpen.Fastball, Policy: bullpen.MeanOf},
		Pen:     bullpen.Bullpen{Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1},
	}
	add := func(id string, r bullpen.Rep) {
		r.ID, r.FilmID, r.Order = id, "f", len(known.Reps)+1
		known.Reps = append(known.Reps, r)
	}
	add("warm", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(61), WarmUp: true})
	add("hard", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(63)})
	add("mean", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(60)})
	add("easy", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(58)})
	add("elsewhere", bullpen.Rep{Pitch: bullpen.Fastball, Reading: &bullpen.Reading{Value: 41, Gun: bullpen.BehindPitcher}})
	add("harder drill", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(42.5), Drill: "K"})
	add("drill", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(40), Drill: "K"})
	add("unmarked", bullpen.Rep{Pitch: bullpen.Fastball, Reading: reading(60.333), Release: bullpen.Unmarked})
	add("off", bullpen.Rep{Pitch: bullpen.ChangeUp, Reading: reading(50)})
	add("drill off", bullpen.Rep{Pitch: bullpen.ChangeUp, Reading: reading(30), Drill: " k"})
	add("unread off", bullpen.Rep{Pitch: bullpen.ChangeUp, Drill: "none of these"})
	b := Of(known)
	for off, want := range map[string]string{"off": "mean", "drill off": "drill", "unread off": "drill"} {
		for _, r := range b.Reps {
			if r.ID != off {
				continue
			}
			got, err := b.Partner(r)
			if err != nil || got.ID != want {
				t.Errorf("beside %s: %s, want %s (%v)", off, got.ID, want, err)
			}
		}
	}
	known.Reps = known.Reps[8:]
	b = Of(known)
	if _, err := b.Partner(b.Reps[0]); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("without a fastball: %v", err)
	}
}
