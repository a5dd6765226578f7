package trust

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

func TestEvaluate(t *testing.T) {
	sessions := []Session{
		session(t, "2026-05-08", "fb60 ch50s ch49b ch58s wch10s ch50/walls ch-"),
		session(t, "2026-05-01", "fb60 ch44b ch51s ch-s"),
	}
	a, b := "2026-05-01 #", "2026-05-08 #"
	for _, c := range []struct {
		line        Line
		text, have  string
		met         bool
		made, broke []string
	}{
		{Line{InBand, 3, 5}, "3 of the last 5 in the band", "3 of 5 in the band", true, []string{a + "3", b + "2", b + "3"}, []string{a + "2", b + "4"}},
		{Line{InBand, 2, 2}, "2 of the last 2 in the band", "1 of 2 in the band", false, []string{b + "3"}, []string{b + "4"}},
		{Line{InBand, 3, 10}, "3 of the last 10 in the band", "3 of 5 in the band so far", true, []string{a + "3", b + "2", b + "3"}, []string{a + "2", b + "4"}},
		{Line{Strikes, 60, 0}, "60 % strikes", "4 of 6 called pitches were strikes (67 %); 1 of the 7 full pitches thrown was not called", true, []string{a + "3", a + "4", b + "2", b + "4"}, []string{a + "2", b + "3"}},
		{Line{Strikes, 75, 4}, "75 % strikes in the last 4", "3 of 4 called pitches were strikes (75 %); 1 of the 5 full pitches thrown was not called", true, []string{a + "4", b + "2", b + "4"}, []string{b + "3"}},
		{Line{Strikes, 60, 10}, "60 % strikes in the last 10", "4 of 6 called pitches were strikes (67 %) so far; 1 of the 7 full pitches thrown was not called", false, []string{a + "3", a + "4", b + "2", b + "4"}, []string{a + "2", b + "3"}},
		{Line{Bullpens, 2, 0}, "thrown in 2 bullpens", "thrown in 2", true, []string{"pen 2026-05-01", "pen 2026-05-08"}, nil},
		{Line{Bullpens, 3, 0}, "thrown in 3 bullpens", "thrown in 2", false, []string{"pen 2026-05-01", "pen 2026-05-08"}, nil},
		{Line{Spread, 5, 3}, "the last 3 gaps spread by 5 mph at most", "4.9 mph over 3", true, []string{b + "2", b + "3"}, []string{b + "4"}},
		{Line{Spread, 4.9, 3}, "the last 3 gaps spread by 4.9 mph at most", "4.9 mph over 3", false, []string{b + "2", b + "3"}, []string{b + "4"}},
		{Line{Spread, 9, 9}, "the last 9 gaps spread by 9 mph at most", "5.0 mph over 5 so far", false, []string{a + "2", a + "3", b + "2", b + "3", b + "4"}, nil},
	} {
		t.Run(c.text, func(t *testing.T) {
			got := Evaluate(Rule{bullpen.ChangeUp, []Line{c.line}}, sessions)
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
		0: "3 of 4 called pitches were strikes (75 %); 4 of the 8 full pitches thrown were not called",
		9: "3 of 4 called pitches were strikes (75 %) so far; 2 of the 6 full pitches thrown were not called",
		3: "2 of 3 called pitches were strikes (67 %); 1 of the 4 full pitches thrown was not called",
		2: "2 of 2 called pitches were strikes (100 %)",
	} {
		if got := Evaluate(Rule{bullpen.ChangeUp, []Line{{Strikes, 60, of}}}, sessions).Lines[0].Have; got != want {
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
		if got := Evaluate(Rule{bullpen.ChangeUp, c.lines}, []Session{good}); got.Trusted != c.want || len(got.Lines) != len(c.lines) {
			t.Errorf("%v: %+v", c.lines, got)
		}
	}
	for _, k := range []Line{met, {Strikes, 60, 0}, {Strikes, 60, 5}, {Bullpens, 1, 0}, {Spread, 2, 3}} {
		if got := Evaluate(Rule{bullpen.ChangeUp, []Line{k}}, nil); got.Trusted {
			t.Errorf("nothing thrown meets %q", k)
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
	for _, r := range []Rule{{bullpen.ChangeUp, nil}, {"zz", good.Lines}} {
		if err := r.Check(); bullpen.CodeOf(err) != bullpen.Invalid {
			t.Errorf("%+v is accepted: %v", r, err)
		}
	}
}
