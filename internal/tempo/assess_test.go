package tempo

import (
	"encoding/json"
	"math"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// marked is a rep whose four instants were marked by hand on frames gap apart.
func marked(id string, p bullpen.Pitch, v bullpen.View, gap, legs, arm float64) RepTiming {
	return RepTiming{
		RepID: id, Pitch: p, Full: true, View: v,
		Marked: Instants{10, 10 + legs, 10 + legs, 10 + legs + arm},
		Gaps:   Instants{gap, gap, gap, gap},
	}
}

// foundRep is a rep whose four instants event transfer found.
func foundRep(id string, p bullpen.Pitch, v bullpen.View, legs, arm float64) RepTiming {
	at := func(s float64) Found { return Found{Seconds: s, Match: 0.9, Sure: true} }
	return RepTiming{
		RepID: id, Pitch: p, Full: true, View: v, Marked: Unknown(), Gaps: Unknown(),
		Found: &Transferred{Drive: at(10), Plant: at(10 + legs), Top: at(10 + legs), Release: at(10 + legs + arm)},
	}
}

// session is n fastballs and n change-ups, found, with the given scatter.
func session(n int, v bullpen.View, legs, arm, sd float64) []RepTiming {
	var out []RepTiming
	fastLegs, offLegs := spread(n, math.Log(0.45), sd), spread(n, math.Log(0.45*legs), sd)
	fastArm, offArm := spread(n, math.Log(0.13), sd), spread(n, math.Log(0.13*arm), sd)
	for i := range n {
		out = append(out,
			foundRep("f"+string(rune('a'+i)), bullpen.Fastball, v, fastLegs[i], fastArm[i]),
			foundRep("c"+string(rune('a'+i)), bullpen.ChangeUp, v, offLegs[i], offArm[i]))
	}
	for i := range out {
		out[i].Order = i + 1
	}
	return out
}

// unlike makes the off-speed reps' drive and plant match no better than that.
func unlike(reps []RepTiming, match float64) []RepTiming {
	for i := range reps {
		if reps[i].Pitch != bullpen.Fastball {
			reps[i].Found.Drive.Match, reps[i].Found.Plant.Match = match, match
		}
	}
	return reps
}

func only(t *testing.T, a Assessment) Check {
	t.Helper()
	c, ok := a.Check(Subject{Pitch: bullpen.ChangeUp})
	if !ok || len(a.Checks) != 1 {
		t.Fatalf("checks %+v", a.Checks)
	}
	return c
}

func TestAssessVerdictsAndWords(t *testing.T) {
	gaps := map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 10, U: 0.4}}
	for _, tt := range []struct {
		name      string
		reps      []RepTiming
		want      Verdict
		reason    Reason
		sentence  string
		next      string
		split     bool
		armJudged bool
	}{
		{"same", session(8, bullpen.ViewSide, 1, 1, 0.02), SameBody, Decided,
			"Her legs and her arm kept up with her fastball: no slow-down larger than 2 % seen.", "", true, true},
		{"slowed body", session(8, bullpen.ViewSide, 1.15, 1.15, 0.02), SlowedBody, Decided,
			"Her legs slowed down on the change-up: they went at 87 % of their fastball speed (85 to 89 %). Her arm slowed down too: 87 % of its fastball speed (84 to 90 %).",
			"Legs and hips as fast as on the fastball; grip and hand take the speed off.", true, true},
		{"slowed arm", session(8, bullpen.ViewSide, 1, 1.15, 0.02), SlowedArm, Decided,
			"Her legs kept up on the change-up, but her arm slowed down: it went at 87 % of its fastball speed (84 to 90 %).",
			"The arm as fast as on the fastball; grip and hand take the speed off.", true, true},
		{"few", session(2, bullpen.ViewSide, 1, 1, 0.02), CantTell, TooFewReps,
			"Her legs went at 100 % of their fastball speed (94 to 106 %).", "2 more fastballs and 2 more change-ups like these should settle it.", false, true},
		{"between", session(30, bullpen.ViewSide, 1.05, 1.05, 0.06), CantTell, BetweenEdges,
			"Her legs may be a little slower, not sure enough to call it that: 95 % of their fastball speed (92 to 98 %). Her arm may be a little slower, not sure enough to call it that: 95 % of its fastball speed (92 to 99 %).",
			"More reps like these would hardly settle it; look at the two side by side.", false, true},
		{"between, of few", session(4, bullpen.ViewSide, 1.02, 1.05, 0.06), CantTell, BetweenEdges,
			"Her legs went at 98 % of their fastball speed (90 to 107 %). Her arm may be a little slower, not sure enough to call it that: 95 % of its fastball speed (88 to 104 %).",
			"Even 30 of each like these would hardly settle it; look at the two side by side.", false, true},
		{"a slower arm beside legs that few reps tell of", session(4, bullpen.ViewSide, 1, 1.25, 0.035), SlowedArm, Decided,
			"Her legs kept up on the change-up, but her arm slowed down: it went at 80 % of its fastball speed (75 to 85 %).",
			"The arm as fast as on the fastball; grip and hand take the speed off.", true, true},
		{"a slower arm beside legs that few reps can't tell of", session(4, bullpen.ViewSide, 1, 1.25, 0.04), SlowedArm, Decided,
			"Slowed arm on 2 of 4 change-ups (reps 4 and 8); of the other 2 this film can't tell.",
			"The arm as fast as on the fastball; grip and hand take the speed off.", true, true},
		{"behind", session(30, bullpen.ViewBehind, 1.028, 1, 0.033), CantTell, ViewTooPoor,
			"From where the phone stood the film shows too little. Her legs may be a little slower, not sure enough to call it that: 97 % of their fastball speed (95 to 99 %).",
			"Film from the side and look again.", false, true},
		{"from nobody knows where", session(30, bullpen.ViewUnknown, 1.028, 1, 0.033), CantTell, ViewTooPoor,
			"Nobody said where the phone stood, so the film shows too little. Her legs may be a little slower, not sure enough to call it that: 97 % of their fastball speed (95 to 99 %).",
			"Say in the film room where the phone stood: from the side, this film may do.", false, true},
		{"an arm that may be slower", session(8, bullpen.ViewSide, 1, 1.05, 0.02), CantTell, TooFewReps,
			"Her legs went at 100 % of their fastball speed (98 to 102 %). Her arm may be a little slower, not sure enough to call it that: 95 % of its fastball speed (93 to 98 %).",
			"2 more fastballs and 2 more change-ups like these should settle it.", false, true},
		{"an arm that few reps can't tell of", session(4, bullpen.ViewSide, 1, 1.06, 0.03), CantTell, TooFewReps,
			"Her legs went at 100 % of their fastball speed (95 to 105 %). Her arm may be a little slower, not sure enough to call it that: 94 % of its fastball speed (90 to 99 %).",
			"5 more fastballs and 5 more change-ups like these should settle it.", false, true},
		{"faster", session(8, bullpen.ViewSide, 0.9, 0.9, 0.02), SameBody, Decided,
			"Her legs and her arm kept up with her fastball: no slow-down seen.", "", true, true},
		{"of another shape", unlike(session(30, bullpen.ViewSide, 1, 1, 0.02), 0.85), CantTell, OtherShape,
			"She moves differently on the change-up than on the fastball, so its times can't be read off it closely enough. Her legs went at 100 % of their fastball speed (90 to 111 %).",
			"More reps won't settle it: look at the two side by side, and mark drive and front-foot plant by hand where they are off.", false, true},
		{"of another shape, and far slower", unlike(session(8, bullpen.ViewSide, 1.25, 1.25, 0.02), 0.85), SlowedBody, Decided,
			"Her legs slowed down on the change-up: they went at 80 % of their fastball speed (72 to 89 %). Her arm slowed down too: 80 % of its fastball speed (77 to 83 %).",
			"Legs and hips as fast as on the fastball; grip and hand take the speed off.", true, true},
		{"one change-up", session(8, bullpen.ViewSide, 1, 1, 0.02)[:2], CantTell, NoFastballs,
			"There is film of 1 fastball, which is too few to compare.", "Film at least 3 fastballs.", false, false},
	} {
		t.Run(tt.name, func(t *testing.T) {
			c := only(t, Assess(tt.reps, Options{Gaps: gaps}))
			if c.Verdict != tt.want || c.Reason != tt.reason || c.Sentence != tt.sentence || c.Next != tt.next {
				t.Errorf("%q %q %q %q, want %q %q %q %q", c.Verdict, c.Reason, c.Sentence, c.Next, tt.want, tt.reason, tt.sentence, tt.next)
			}
			if (c.Split != nil) != tt.split || (c.Arm != nil) != tt.armJudged {
				t.Errorf("split %v, arm %v", c.Split, c.Arm)
			}
		})
	}
}

// What is asked for where next to nothing is timed is what would help: film where
// there is none, marks where there is film, and a rep without film is no film.
func TestAssessSaysWhatIsMissing(t *testing.T) {
	rep := func(p bullpen.Pitch, filmed, timed bool) RepTiming {
		r := RepTiming{Pitch: p, Full: true, Filmed: filmed, View: bullpen.ViewSide, Marked: Unknown(), Gaps: Unknown()}
		if timed {
			r.Marked.Drive, r.Marked.Plant = 10, 10.45
		}
		return r
	}
	times := func(n int, r RepTiming) []RepTiming { return slices.Repeat([]RepTiming{r}, n) }
	fast, off := bullpen.Fastball, bullpen.ChangeUp
	for _, tt := range []struct {
		name           string
		reps           []RepTiming
		sentence, next string
	}{
		{"marks", append(times(6, rep(fast, true, false)), times(6, rep(off, true, true))...),
			"The legs are not timed on any fastball yet.", "Mark drive and front-foot plant on at least 3 fastballs."},
		{"film", append(times(6, rep(fast, false, false)), times(6, rep(off, true, true))...),
			"There is no film of her fastballs to compare.", "Film at least 3 fastballs."},
		{"a mark", append(times(6, rep(fast, true, true)), append(times(6, rep(off, true, false)), rep(off, true, true))...),
			"The legs are timed on 1 change-up, which is too few to compare.", "Mark drive and front-foot plant on at least 3 change-ups."},
	} {
		if c := only(t, Assess(tt.reps, Options{})); c.Sentence != tt.sentence || c.Next != tt.next {
			t.Errorf("%s: %q %q, want %q %q", tt.name, c.Sentence, c.Next, tt.sentence, tt.next)
		}
	}
}

// Hand marks give the same verdicts from the legs, and never judge the arm from
// 30 or 60 frames a second, however many there are.
func TestAssessOfHandMarksNeverJudgesTheArm(t *testing.T) {
	for _, tt := range []struct {
		fps   float64
		judge bool
	}{{30, false}, {59.94, false}, {120, true}, {240, true}} {
		var reps []RepTiming
		for i := range 40 {
			p, legs := bullpen.Fastball, 0.45
			if i%2 == 1 {
				p, legs = bullpen.ChangeUp, 0.45*1.2
			}
			reps = append(reps, marked("r", p, bullpen.ViewSide, 1/tt.fps, legs, 0.13))
		}
		c := only(t, Assess(reps, Options{}))
		if c.Verdict != SlowedBody || (c.Arm != nil) != tt.judge {
			t.Errorf("%v fps: %q, arm judged %v", tt.fps, c.Verdict, c.Arm != nil)
		}
		if !tt.judge && !strings.Contains(strings.Join(c.Notes, " "), "arm is not judged") {
			t.Errorf("%v fps: the notes do not say that the arm is not judged: %q", tt.fps, c.Notes)
		}
	}
}

// Equal frame counts are no proof of equal times: three reps of each by hand at
// 30 frames a second decide nothing.
func TestAssessKeepsTheFramesBlur(t *testing.T) {
	var reps []RepTiming
	for range 3 {
		reps = append(reps, marked("f", bullpen.Fastball, bullpen.ViewSide, 1.0/30, 0.4667, 0.13),
			marked("c", bullpen.ChangeUp, bullpen.ViewSide, 1.0/30, 0.4667, 0.13))
	}
	c := only(t, Assess(reps, Options{}))
	if c.Verdict != CantTell || c.Legs.Hi < 5 {
		t.Errorf("%q with a slow-down up to %.1f %%", c.Verdict, c.Legs.Hi)
	}
	wider := only(t, Assess(reps, Options{Eye: 0.02}))
	if wider.Legs.Hi <= c.Legs.Hi {
		t.Error("a shakier eye did not widen the range")
	}
}

// From behind, and where nobody said from where, ranges are wider and it is said.
func TestAssessFromBehindIsWider(t *testing.T) {
	side := only(t, Assess(session(8, bullpen.ViewSide, 1.12, 1.12, 0.02), Options{}))
	if len(side.Notes) != 0 {
		t.Errorf("notes from the side: %q", side.Notes)
	}
	for _, v := range []bullpen.View{bullpen.ViewBehind, bullpen.ViewUnknown} {
		c := only(t, Assess(session(8, v, 1.12, 1.12, 0.02), Options{}))
		if c.Legs.Hi-c.Legs.Lo <= 1.2*(side.Legs.Hi-side.Legs.Lo) || len(c.Notes) != 1 {
			t.Errorf("%q: %.1f to %.1f, notes %q", v, c.Legs.Lo, c.Legs.Hi, c.Notes)
		}
	}
}

// A mark that agrees with what was found stands for the finer instant; one that
// was moved wins.
func TestAssessMovedMarkWins(t *testing.T) {
	reps := session(4, bullpen.ViewSide, 1, 1, 0.02)
	found := reps[0].Found
	reps[0].Gaps = Instants{1.0 / 30, 1.0 / 30, 1.0 / 30, 1.0 / 30}
	reps[0].Marked.Drive, reps[0].Marked.Plant = found.Drive.Seconds+0.010, found.Plant.Seconds-0.012
	p := Assess(reps, Options{}).Reps[0]
	if p.LegsFrom != ByFinder || *p.LegsSeconds != found.Plant.Seconds-found.Drive.Seconds {
		t.Errorf("marks a third of a frame off changed the time to %v (%v)", *p.LegsSeconds, p.LegsFrom)
	}
	reps[0].Marked.Plant = found.Plant.Seconds + 0.1
	p = Assess(reps, Options{}).Reps[0]
	if p.LegsFrom != ByHand || math.Abs(*p.LegsSeconds-(found.Plant.Seconds-found.Drive.Seconds+0.1)) > 1e-9 {
		t.Errorf("a mark moved by 0.1 s left the time at %v (%v)", *p.LegsSeconds, p.LegsFrom)
	}
}

// Drills and warm-ups are compared with nothing, and reps seen from elsewhere
// are left out and said so.
func TestAssessLeavesOut(t *testing.T) {
	reps := session(6, bullpen.ViewSide, 1, 1, 0.02)
	drill := foundRep("drill", bullpen.Fastball, bullpen.ViewSide, 0.30, 0.10)
	drill.Full = false
	far := foundRep("far", bullpen.ChangeUp, bullpen.ViewBehind, 0.60, 0.2)
	a := Assess(append(reps, drill, far), Options{})
	c := only(t, a)
	if c.Fast != 6 || c.Off != 6 || c.LeftOut != 1 || len(c.Notes) != 1 {
		t.Errorf("%d fastballs, %d change-ups, %d left out, %q", c.Fast, c.Off, c.LeftOut, c.Notes)
	}
	for _, id := range []string{"drill", "far"} {
		if r, ok := a.Rep(id); !ok || r.Legs != nil || r.LegsSeconds == nil || r.Words != "" {
			t.Errorf("%s: %+v", id, r)
		}
	}
}

// One slow fastball among five is outside her own spread: it does not hide
// itself by widening it.
func TestAssessFastballOutside(t *testing.T) {
	reps := session(5, bullpen.ViewSide, 1, 1, 0.02)
	reps[0].Found.Plant.Seconds += 0.1
	a := Assess(reps, Options{})
	if a.Reps[0].Legs.Within {
		t.Errorf("a fastball at %.0f %% counts as inside", a.Reps[0].Legs.Percent)
	}
	if !a.Reps[1].Legs.Within || !a.Reps[2].Legs.Within {
		t.Error("the others count as outside")
	}
}

// A pitcher who lives on a drop is compared with her drops.
func TestAssessAgainstAnotherBaseline(t *testing.T) {
	reps := session(8, bullpen.ViewSide, 1.15, 1.15, 0.02)
	for i := range reps {
		if reps[i].Pitch == bullpen.Fastball {
			reps[i].Pitch = bullpen.Drop
		}
	}
	c := only(t, Assess(reps, Options{Baseline: bullpen.Drop}))
	if c.Verdict != SlowedBody || !strings.Contains(c.Sentence, "of their drop speed") {
		t.Errorf("%q %q", c.Verdict, c.Sentence)
	}
}

// Whatever is known or not, it can be sent: JSON has no NaN and no infinity.
func TestAssessIsJSON(t *testing.T) {
	empty := RepTiming{RepID: "x", Pitch: "zz", Full: true, Marked: Unknown(), Gaps: Unknown()}
	for _, reps := range [][]RepTiming{
		nil, {empty}, session(1, bullpen.ViewSide, 1, 1, 0), session(2, bullpen.ViewSide, 1, 1, 0),
		append(session(3, bullpen.ViewSide, 1, 1, 0), empty),
		{marked("a", bullpen.Fastball, bullpen.ViewSide, math.NaN(), 0.4, 0.1), marked("b", bullpen.ChangeUp, bullpen.ViewSide, 0, math.Inf(1), -1)},
	} {
		gaps := map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 0}}
		b, err := json.Marshal(Assess(reps, Options{Gaps: gaps}))
		if err != nil {
			t.Error(err)
		}
		if strings.Contains(string(b), "null") {
			t.Errorf("lists and numbers are there or left out, never null: %s", b)
		}
	}
}

// The words name no cause and no harm.
func TestWordsClaimNothing(t *testing.T) {
	for _, legs := range []float64{0.9, 1, 1.04, 1.08, 1.3} {
		for _, arm := range []float64{0.9, 1, 1.08, 1.3} {
			for _, n := range []int{1, 2, 4, 9, 30} {
				for _, v := range []bullpen.View{bullpen.ViewUnknown, bullpen.ViewSide, bullpen.ViewBehind} {
					a := Assess(session(n, v, legs, arm, 0.03), Options{Gaps: map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 9}}})
					c := only(t, a)
					words := c.Sentence + c.Next + strings.Join(c.Notes, " ")
					if c.Split != nil {
						words += c.Split.Sentence
					}
					for _, bad := range []string{"because", "cause", "injur", "hurt", "pain", "risk", "fault", "NaN", "Inf", "%!"} {
						if strings.Contains(words, bad) {
							t.Errorf("%q says %q", words, bad)
						}
					}
					if (c.Verdict == CantTell) != (c.Split == nil) {
						t.Errorf("%q has split %v", c.Verdict, c.Split)
					}
				}
			}
		}
	}
}
