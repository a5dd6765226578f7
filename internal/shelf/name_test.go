package shelf

import (
	"testing"

	"tenoff/internal/bullpen"
)

func TestNames(t *testing.T) {
	mph := &bullpen.Reading{Value: 50.5, Unit: bullpen.MPH}
	kmh := &bullpen.Reading{Value: 81, Unit: bullpen.KMH}
	for got, want := range map[string]string{
		FileName("2026-04-11", 7, bullpen.ChangeUp, mph):                   "2026-04-11_07_change-up_50.5mph.mp4",
		FileName("2026-04-11", 112, bullpen.DropCurve, kmh):                "2026-04-11_112_drop-curve_81kmh.mp4",
		FileName("../../etc", 1, bullpen.Fastball, nil):                    "etc_01_fastball.mp4",
		PairName("2026-04-11", "07_change-up", "01_fastball", 1, false):    "2026-04-11_07_change-up_beside_01_fastball.mp4",
		PairName("2026-04-11", "07_change-up", "01_fastball", 0.125, true): "2026-04-11_07_change-up_over_01_fastball_1-8-speed.mp4",
	} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestPartner(t *testing.T) {
	reading := func(v float64) *bullpen.Reading { return &bullpen.Reading{Value: v} }
	b := Board{
		Pitcher: bullpen.Pitcher{BaselinePitch: bullpen.Fastball, Policy: bullpen.MeanOf},
		Bullpen: bullpen.Bullpen{Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1},
	}
	add := func(id string, r bullpen.Rep) {
		r.ID, r.FilmID, r.Order = id, "f", len(b.Reps)+1
		b.Reps = append(b.Reps, r)
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
	b.Sheet = bullpen.Judge(b.Pitcher, b.Bullpen, nil, b.Reps)
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
	b.Reps = b.Reps[8:]
	if _, err := b.Partner(b.Reps[0]); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("without a fastball: %v", err)
	}
}
