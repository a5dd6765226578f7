package trust

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

func TestEvaluate(t *testing.T) {
	sessions := []Session{
		session(t, "2026-05-08", "fb60 ch50s ch49b ch55s wch10s ch50/walls ch-"),
		session(t, "2026-05-01", "fb60 ch44b ch51s ch-s"),
	}
	a, b := "2026-05-01 #", "2026-05-08 #"
	for _, c := range []struct {
		line        Line
		text, have  string
		met         bool
		made, broke []string
	}{
		{Line{InBand, 3, 5}, "3 of the last 5 in the band", "3 of 5 in the band (likely 23 to 88 % in the long run)", true, []string{a + "3", b + "2", b + "3"}, []string{a + "2", b + "4"}},
		{Line{InBand, 2, 2}, "2 of the last 2 in the band", "2 of 2 in the band (likely 34 to 100 % in the long run); 1 since then counts once there are 2", true, []string{b + "2", b + "3"}, nil},
		{Line{InBand, 3, 10}, "3 of the last 10 in the band", "3 of 5 in the band so far (likely 23 to 88 % in the long run)", false, []string{a + "3", b + "2", b + "3"}, []string{a + "2", b + "4"}},
		{Line{Strikes, 60, 0}, "60 % strikes", "4 of 6 called pitches were strikes (67 %, likely 30 to 90 % in the long run); 1 of the 7 full pitches thrown was not called", true, []string{a + "3", a + "4", b + "2", b + "4"}, []string{a + "2", b + "3"}},
		{Line{Strikes, 75, 4}, "75 % strikes in the last 4", "3 of 4 called pitches were strikes (75 %, likely 30 to 95 % in the long run); 2 since then count once there are 4", true, []string{a + "3", a + "4", b + "2"}, []string{a + "2"}},
		{Line{Strikes, 60, 10}, "60 % strikes in the last 10", "4 of 6 called pitches were strikes so far (67 %, likely 30 to 90 % in the long run); 1 of the 7 full pitches thrown was not called", false, []string{a + "3", a + "4", b + "2", b + "4"}, []string{a + "2", b + "3"}},
		{Line{Bullpens, 2, 0}, "thrown in 2 bullpens", "thrown in 2", true, []string{"pen 2026-05-01", "pen 2026-05-08"}, nil},
		{Line{Bullpens, 3, 0}, "thrown in 3 bullpens", "thrown in 2", false, []string{"pen 2026-05-01", "pen 2026-05-08"}, nil},
		{Line{Spread, 5, 3}, "the last 3 gaps spread by 5 mph at most", "3.8 mph over 3 (likely 2.0 to 23.8 in the long run); 2 since then count once there are 3", true, []string{a + "2", a + "3", b + "2"}, nil},
		{Line{Spread, 3.5, 3}, "the last 3 gaps spread by 3.5 mph at most", "3.8 mph over 3 (likely 2.0 to 23.8 in the long run); 2 since then count once there are 3", false, []string{a + "3", b + "2"}, []string{a + "2"}},
		{Line{Spread, 9, 9}, "the last 9 gaps spread by 9 mph at most", "4.0 mph over 5 so far (likely 2.4 to 11.4 in the long run)", false, []string{a + "2", a + "3", b + "2", b + "3", b + "4"}, nil},
	} {
		t.Run(c.text, func(t *testing.T) {
			got := evaluate(t, Rule{bullpen.ChangeUp, []Line{c.line}}, sessions)
			if got.Trusted != c.met {
				t.Errorf("trusted is %v", got.Trusted)
			}
			none := func(ids []string) []string { return append([]string{}, ids...) }
			want := LineAnswer{c.line, c.text, c.met, c.have, none(c.made), none(c.broke)}
			if diff := cmp.Diff(want, got.Lines[0]); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// What is said not to be called was thrown since the first pitch that counts.
func TestUncalledSinceTheFirst(t *testing.T) {
	sessions := []Session{
		session(t, "2026-05-01", "fb60 ch50 ch50 ch50s ch50 ch50b"),
		session(t, "2026-05-08", "ch50 ch50/wall wch50 ch50s ch50s"),
	}
	for of, want := range map[int]string{
		0: "3 of 4 called pitches were strikes (75 %, likely 30 to 95 % in the long run); 4 of the 8 full pitches thrown were not called",
		9: "3 of 4 called pitches were strikes so far (75 %, likely 30 to 95 % in the long run); 2 of the 6 full pitches thrown were not called",
		3: "2 of 3 called pitches were strikes (67 %, likely 21 to 94 % in the long run); 2 of the 5 full pitches thrown were not called; 1 since then counts once there are 3",
		2: "2 of 2 called pitches were strikes (100 %, likely 34 to 100 % in the long run)",
	} {
		if got := evaluate(t, Rule{bullpen.ChangeUp, []Line{{Strikes, 60, of}}}, sessions).Lines[0].Have; got != want {
			t.Errorf("of %d: %q, want %q", of, got, want)
		}
	}
}

// A pitch is trusted when every line is met, and never by no line at all.
func TestTrusted(t *testing.T) {
	good := session(t, "2026-05-01", "fb60 ch50s ch49s ch51s")
	met, unmet := Line{InBand, 3, 3}, Line{Bullpens, 9, 0}
	for _, c := range []struct {
		lines []Line
		want  bool
	}{{[]Line{met}, true}, {[]Line{met, unmet}, false}, {nil, false}} {
		if got := evaluate(t, Rule{bullpen.ChangeUp, c.lines}, []Session{good}); got.Trusted != c.want || len(got.Lines) != len(c.lines) {
			t.Errorf("%v: %+v", c.lines, got)
		}
	}
	// Of a pitch that was never thrown a line is not met, and what is said of it is true.
	for k, have := range map[Line]string{
		met: "no rep has a verdict yet", {Strikes, 60, 0}: "no pitch is called strike or ball yet", {Strikes, 60, 5}: "no pitch is called strike or ball yet",
		{Bullpens, 1, 0}: "not thrown yet", {Spread, 2, 3}: "no gap is known yet", {SameBody, 2, 3}: "no bullpen's film tells yet", {SameReps, 8, 10}: "no rep's film tells yet",
	} {
		if got := evaluate(t, Rule{bullpen.ChangeUp, []Line{k}}, nil); got.Trusted || got.Lines[0].Have != have {
			t.Errorf("nothing thrown, %q: trusted is %v, %q", k, got.Trusted, got.Lines[0].Have)
		}
	}
}

func TestRuleCheck(t *testing.T) {
	good := Rule{bullpen.ChangeUp, []Line{{InBand, 8, 10}, {Strikes, 60, 0}, {Strikes, 62.5, 20}, {Bullpens, 3, 0}, {Spread, 1.5, 8}}}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for _, l := range []Line{
		{}, {"mood", 1, 1}, {InBand, 11, 10}, {InBand, 0, 10}, {InBand, 7.5, 10}, {InBand, 8, 9999}, {Strikes, 0, 0}, {Strikes, 101, 0}, {Strikes, 60, -1},
		{Bullpens, 0, 0}, {Bullpens, 1.5, 0}, {Spread, 0, 5}, {Spread, 2, 2},
	} {
		err := Rule{bullpen.ChangeUp, []Line{{InBand, 8, 10}, l}}.Check()
		if bullpen.CodeOf(err) != bullpen.Invalid || !strings.Contains(bullpen.MessageOf(err), "Line 2") {
			t.Errorf("%+v is accepted: %v", l, err)
		}
	}
	// A line that asks of how many nothing is refused in words that make sense.
	for _, k := range []Kind{InBand, SameBody, SameReps, Spread} {
		err := Rule{bullpen.ChangeUp, []Line{{k, 2, 0}}}.Check()
		if bullpen.CodeOf(err) != bullpen.Invalid || strings.Contains(bullpen.MessageOf(err), "last 0") {
			t.Errorf("%s of 0: %v", k, err)
		}
	}
	for _, r := range []Rule{{bullpen.ChangeUp, nil}, {"zz", good.Lines}} {
		if err := r.Check(); bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("%+v is accepted: %v", r, err)
		}
	}
}

// Half of her pitches lie in the band: "8 of the last 10" is met at the end of the last of
// six sets by 5.5 of 100 such pitchers (binomial), and not at whichever moment suits.
func TestRuleIsReadAtTheLastFullSet(t *testing.T) {
	dice := rand.New(rand.NewPCG(8, 10))
	const pitchers = 4000
	met := 0
	for range pitchers {
		var h history
		for range 60 {
			v := bullpen.Soft
			if dice.IntN(2) == 0 {
				v = bullpen.InBand
			}
			h.judged = append(h.judged, Pitched{Verdict: v})
		}
		if h.answer(Line{InBand, 8, 10}).Met {
			met++
		}
	}
	if share := float64(met) / pitchers; share < 0.04 || share > 0.07 {
		t.Errorf("met by %.1f %% of pitchers who hit half", 100*share)
	}
	var h history
	for range 19 {
		h.judged = append(h.judged, Pitched{Verdict: bullpen.Soft})
	}
	if have := h.answer(Line{InBand, 8, 10}).Have; have != "0 of 10 in the band (likely 0 to 28 % in the long run); 9 since then count once there are 10" {
		t.Error(have)
	}
}
