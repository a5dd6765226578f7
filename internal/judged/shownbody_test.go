package judged

import (
	"fmt"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// What the student reads of a rep's body is what the instructor reads, in each language.
func TestBodySaid(t *testing.T) {
	body := func(off, arm float64) tempo.Assessment {
		var reps []tempo.RepTiming
		at := func(s float64) tempo.Found { return tempo.Found{Seconds: s, Match: 0.9, Sure: true} }
		for i := range 16 {
			legs, armed, p := 0.45+0.002*float64(i%3), 0.13, bullpen.Fastball
			if i%2 == 1 {
				p = bullpen.ChangeUp
			}
			if i == 9 {
				legs, armed = legs*off, armed*arm
			}
			reps = append(reps, tempo.RepTiming{
				RepID: fmt.Sprint(i), Order: i + 1, Pitch: p, Full: true, View: bullpen.ViewSide, Marked: tempo.Unknown(), Gaps: tempo.Unknown(),
				Found: &tempo.Transferred{Drive: at(10), Plant: at(10 + legs), Top: at(10 + legs), Release: at(10 + legs + armed)},
			})
		}
		return tempo.Assess(reps, tempo.Options{})
	}
	for _, c := range []struct {
		off, arm float64
		es       string
	}{{1, 1, "piernas 100 %"}, {1.2, 1.2, "piernas 84 %: más lentas"}, {1, 1.4, "piernas 100 %, brazo 71 %: más lento"}} {
		p := body(c.off, c.arm).Reps[9]
		if got := BodySaid(texts.English, ShownBody(p)); got != p.Short || got == "" {
			t.Errorf("legs %g, arm %g: %q, the instructor reads %q", c.off, c.arm, got, p.Short)
		}
		if got := BodySaid(texts.Spanish, ShownBody(p)); got != c.es {
			t.Errorf("legs %g, arm %g: %q, want %q", c.off, c.arm, got, c.es)
		}
	}
	if got := BodySaid(texts.English, ShownBody(tempo.RepBody{})); got != "" {
		t.Errorf("of nothing: %q", got)
	}
}
