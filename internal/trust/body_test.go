package trust

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// told gives a session a same-body check of the change-up.
func (s Session) told(v tempo.Verdict, speed float64) Session {
	c := tempo.Check{Pitch: bullpen.ChangeUp, Verdict: v, Legs: &tempo.Slowing{Speed: speed}}
	s.Checks = []tempo.Check{{Pitch: bullpen.ChangeUp, Drill: "wall", Verdict: tempo.SlowedBody}, c}
	return s
}

func TestSameBodyLine(t *testing.T) {
	sessions := []Session{
		session(t, "2026-05-01", "fb60 ch50").told(tempo.SameBody, 99),
		session(t, "2026-05-08", "fb60 ch50").told(tempo.SlowedBody, 91),
		session(t, "2026-05-15", "fb60 ch50").told(tempo.CantTell, 97),
		session(t, "2026-05-22", "fb60 ch50"),
		session(t, "2026-05-29", "fb60 ch50").told(tempo.SameBody, 101),
		session(t, "2026-06-05", "fb60 ch50").told(tempo.SlowedArm, 100),
	}
	pens := func(days ...string) []string {
		out := []string{}
		for _, d := range days {
			out = append(out, "pen 2026-"+d)
		}
		return out
	}
	for _, c := range []struct {
		need, of    int
		have        string
		met         bool
		made, broke []string
	}{
		{2, 4, "same body in 2 of 4 (likely 15 to 85 % in the long run)", true, pens("05-01", "05-29"), pens("05-08", "06-05")},
		{2, 2, "same body in 1 of 2 (likely 9 to 91 % in the long run)", false, pens("05-29"), pens("06-05")},
		{2, 9, "same body in 2 of 4 so far (likely 15 to 85 % in the long run)", false, pens("05-01", "05-29"), pens("05-08", "06-05")},
	} {
		l := Line{SameBody, float64(c.need), c.of}
		got := evaluate(t, Rule{bullpen.ChangeUp, []Line{l}}, sessions)
		want := LineAnswer{l, l.String(), c.met, c.have, c.made, c.broke}
		if diff := cmp.Diff(want, got.Lines[0]); diff != "" {
			t.Error(diff)
		}
	}
	none := evaluate(t, Rule{bullpen.ChangeUp, []Line{{SameBody, 1, 3}}}, sessions[2:4])
	if none.Trusted || none.Lines[0].Have != "no bullpen's film tells yet" {
		t.Errorf("%+v", none)
	}
	if err := (Rule{bullpen.ChangeUp, []Line{{SameBody, 4, 3}}}).Check(); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("4 of 3: %v", err)
	}
}

// "Same body in 8 of 10" is read over reps, at the last full set of them, with where the
// share lies in the long run (Wilson's interval of 3 of 4 is 0.301 to 0.954, by hand in
// check of bullpen.Wilson). Reps that can't be told count neither way.
func TestSameRepsLine(t *testing.T) {
	told := func(day string, verdicts ...tempo.Verdict) Session {
		s := session(t, day, "fb60"+strings.Repeat(" ch50", len(verdicts)))
		s.Body = []tempo.RepBody{{}}
		for _, v := range verdicts {
			s.Body = append(s.Body, tempo.RepBody{Told: v})
		}
		return s
	}
	sessions := []Session{
		told("2026-05-01", tempo.SameBody, tempo.SlowedBody, tempo.CantTell, tempo.SameBody),
		session(t, "2026-05-08", "fb60 ch50 ch50"),
		told("2026-05-15", tempo.SameBody, tempo.SlowedArm),
	}
	for _, c := range []struct {
		need, of    int
		have        string
		met         bool
		made, broke int
	}{
		{3, 4, "same body in 3 of 4 (likely 30 to 95 % in the long run); 1 since then counts once there are 4", true, 3, 1},
		{2, 2, "same body in 2 of 2 (likely 34 to 100 % in the long run); 1 since then counts once there are 2", true, 2, 0},
		{8, 10, "same body in 3 of 5 so far (likely 23 to 88 % in the long run)", false, 3, 2},
	} {
		l := Line{SameReps, float64(c.need), c.of}
		got := evaluate(t, Rule{bullpen.ChangeUp, []Line{l}}, sessions).Lines[0]
		if got.Have != c.have || got.Met != c.met || len(got.Made) != c.made || len(got.Broke) != c.broke {
			t.Errorf("%s: %+v", l, got)
		}
	}
	if none := evaluate(t, Rule{bullpen.ChangeUp, []Line{{SameReps, 1, 3}}}, sessions[1:2]).Lines[0]; none.Met || none.Have != "no rep's film tells yet" {
		t.Errorf("%+v", none)
	}
	if err := (Rule{bullpen.ChangeUp, []Line{{SameReps, 4, 3}}}).Check(); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("4 of 3: %v", err)
	}
}

// The body's speed of each bullpen is followed over the weeks.
func TestBodyTrend(t *testing.T) {
	trend := trendOf(t, bullpen.ChangeUp, bullpen.Fastball, []Session{
		session(t, "2026-05-01", "fb60 ch50").told(tempo.SlowedBody, 90),
		session(t, "2026-05-08", "fb60 ch50").told(tempo.CantTell, 92),
		session(t, "2026-05-15", "fb60 ch50"),
		session(t, "2026-05-22", "fb60 ch50").told(tempo.SameBody, 96),
		session(t, "2026-05-29", "fb60 ch50").told(tempo.SameBody, 98),
		session(t, "2026-06-05", "fb60 ch50").told(tempo.SameBody, 100),
	})
	if trend.Body == nil || trend.Body.N != 5 {
		t.Fatalf("%+v", trend.Body)
	}
	near(t, "points per week", trend.Body.PerWeek, 2, 1e-9)
	if trend.Points[2].Body != nil || trend.Points[3].Body == nil || trend.Points[3].Body.Verdict != tempo.SameBody {
		t.Errorf("%+v", trend.Points)
	}
}
