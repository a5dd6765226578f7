package judged

import (
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// A pitch has one name and one plural, in the catalogue as in the list of pitch types.
func TestPitchesAreNamedAlike(t *testing.T) {
	for _, p := range bullpen.PitchTypes {
		if one, more := texts.English.Pitch(string(p.Code)), texts.English.Pitches(string(p.Code)); one != p.Name || more != p.Plural {
			t.Errorf("%s: %q and %q, want %q and %q", p.Code, one, more, p.Name, p.Plural)
		}
	}
}

// In English a caption says of the body what the instructor's pages say.
func TestWordsAreTempos(t *testing.T) {
	phase := func(from, to bullpen.Event, off, fast, u float64, own tempo.Own) tempo.Phase {
		return tempo.Phase{From: from, To: to, Off: off, Fast: fast, U: u, Own: own}
	}
	for _, phases := range [][]tempo.Phase{
		nil,
		{phase(bullpen.Drive, bullpen.Plant, 0.5, 0.46, 0.01, tempo.OwnBeyond), phase(bullpen.Top, bullpen.Release, 0.12, 0.13, 0.002, tempo.OwnBeyond)},
		{phase(bullpen.Drive, bullpen.Plant, 0.5, 0.46, 0.01, tempo.OwnUsual), phase(bullpen.Top, bullpen.Release, 0.12, 0.13, 0.01, tempo.OwnUsual)},
		{phase(bullpen.Drive, bullpen.Plant, 0.5, 0.46, 0.01, tempo.OwnUnknown), phase(bullpen.Top, bullpen.Release, 0.12, 0.13, 0.002, tempo.OwnOdd)},
		{phase(bullpen.Drive, bullpen.Release, 0.5, 0.46, 0.01, tempo.OwnNot)},
	} {
		if got, want := PhaseWords(texts.English, phases), tempo.PhaseWords(phases); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	var kinds, slowed int
	for i, b := range bodies(t) {
		for _, p := range b.Body.Reps {
			if got := PaceWords(texts.English, p, bullpen.Fastball); got != p.Words {
				t.Errorf("%d: %q, want %q", i, got, p.Words)
			}
			if p.Words != "" {
				kinds++
				if strings.Contains(p.Words, "slowed") {
					slowed++
				}
				if es := PaceWords(texts.Spanish, p, bullpen.Fastball); !strings.HasPrefix(es, "piernas al "+bullpen.Percent(p.Legs.Percent)+" de su recta") {
					t.Errorf("%d: %q", i, es)
				}
			}
		}
		for _, c := range b.Body.Checks {
			want := ""
			if c.Split != nil {
				want = c.Split.Line
				kinds++
			}
			if got := SplitWords(texts.English, c); got != want {
				t.Errorf("%d: %q, want %q", i, got, want)
			}
		}
	}
	if kinds < 10 || slowed == 0 {
		t.Errorf("only %d sentences were compared, %d of slowed reps", kinds, slowed)
	}
}

// bodies are bullpens of fastballs and change-ups with marks: the same body, slower legs, a
// slower arm.
func bodies(t *testing.T) []Bullpen {
	t.Helper()
	var out []Bullpen
	for _, slower := range []struct{ legs, arm float64 }{{1, 1}, {1.25, 1}, {1, 1.4}} {
		her := bullpen.NewPitcher("Wren", bullpen.Levels[0])
		pen := her.Begin("2026-05-02")
		f := Facts{Pitcher: her, Pen: pen}
		f.Films = []store.Film{sixty()}
		for i := range 16 {
			legs, arm, pitch, speed := 28.0, 8.0, bullpen.Fastball, 55.0
			if i%2 == 1 {
				legs, arm, pitch, speed = legs*slower.legs, arm*slower.arm, bullpen.ChangeUp, 45
			}
			at := 100 * (i + 1)
			f.Reps = append(f.Reps, bullpen.Rep{
				ID: string(rune('a' + i)), FilmID: "film", Order: i + 1, Pitch: pitch, Release: at, Top: at - int(arm), Plant: at - 7, Drive: at - 7 - int(legs) - i%4/2,
				Reading: &bullpen.Reading{Value: speed, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher},
			})
		}
		out = append(out, Of(f))
	}
	return out
}

// sixty is a film of sixty frames a second from the side.
func sixty() store.Film {
	clock := bullpen.Clock{Num: 1, Den: 60, Slow: 1}
	for i := range int64(1800) {
		clock.Ticks = append(clock.Ticks, i)
	}
	return store.Film{Film: bullpen.Film{ID: "film", State: bullpen.FilmReady, Clock: clock, View: bullpen.ViewSide}}
}
