package tempo

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// biasSide is the share from the side.
var biasSide = BiasOf(bullpen.ViewSide).Legs

func contrastOf(log, half float64, n int) Contrast {
	return Contrast{Fast: n, Off: n, Log: log, U: half, Spread: 0.03, Bias: biasSide}
}

func TestJudge(t *testing.T) {
	m := DefaultMargins()
	for _, tt := range []struct {
		name          string
		legs, arm     Contrast
		legsOK, armOK bool
		want          Verdict
		reason        Reason
	}{
		{"legs clearly slower", contrastOf(0.12, 0.03, 8), contrastOf(0.12, 0.04, 8), true, true, SlowedBody, Decided},
		{"only the arm slower", contrastOf(0.00, 0.02, 8), contrastOf(0.12, 0.04, 8), true, true, SlowedArm, Decided},
		{"nothing slower", contrastOf(0.00, 0.02, 8), contrastOf(0.01, 0.04, 8), true, true, SameBody, Decided},
		{"legs the same, arm not judged", contrastOf(0.00, 0.02, 8), Contrast{}, true, false, SameBody, Decided},
		{"faster legs are the same body", contrastOf(-0.05, 0.02, 8), contrastOf(-0.03, 0.04, 8), true, true, SameBody, Decided},
		{"legs unsure", contrastOf(0.05, 0.05, 4), contrastOf(0.0, 0.04, 4), true, true, CantTell, TooFewReps},
		{"arm unsure", contrastOf(0.0, 0.02, 4), contrastOf(0.07, 0.05, 4), true, true, CantTell, TooFewReps},
		{"no fastballs", Contrast{Fast: 0, Off: 5}, Contrast{}, false, false, CantTell, NoFastballs},
		{"one change-up", Contrast{Fast: 5, Off: 1}, Contrast{}, false, false, CantTell, NoOffSpeed},
		{"edge of slowed: not beyond", contrastOf(0.049, 0.03, 8), contrastOf(0.05, 0.04, 8), true, true, CantTell, TooFewReps},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := NewCheck(tt.legs, tt.legsOK, tt.arm, tt.armOK, m)
			if got.Verdict != tt.want || got.Reason != tt.reason {
				t.Errorf("%q because %q, want %q because %q", got.Verdict, got.Reason, tt.want, tt.reason)
			}
			if got.Reason == TooFewReps && got.MoreFast+got.MoreOff == 0 {
				t.Error("asks for more reps without saying how many")
			}
		})
	}
}

// The same range has the same word: whoever reads "97 % (93 to 101 %)" twice, of legs or
// of an arm, before or after a word on the view, reads one verdict beside it.
func TestTheSameRangeHasTheSameWord(t *testing.T) {
	type range3 [2]string
	verdicts, legsLook, most := map[[2]range3]Verdict{}, map[range3]bodyWord{}, map[[2]range3]float64{}
	random := rand.New(rand.NewPCG(17, 4))
	shown := func(s *Slowing) range3 {
		return range3{bullpen.Percent(s.SpeedLo), bullpen.Percent(s.SpeedHi)}
	}
	twice := 0
	for range 60000 {
		view := []bullpen.View{bullpen.ViewSide, bullpen.ViewUnknown}[random.IntN(2)]
		legs := contrastOf(0.12*random.Float64()-0.02, 0.01+0.04*random.Float64(), 8)
		arm := contrastOf(0.12*random.Float64()-0.02, 0.01+0.04*random.Float64(), 8)
		legs.Bias, arm.Bias = BiasOf(view).Legs, BiasOf(view).Arm
		c := NewCheck(legs, true, arm, true, DefaultMargins())
		at := [2]range3{shown(c.Legs), shown(c.Arm)}
		if v, ok := verdicts[at]; ok {
			twice++
			if v != c.Verdict || most[at] != *c.NoMoreThan {
				t.Fatalf("%v: %q, no more than %v; and %q, no more than %v", at, v, most[at], c.Verdict, *c.NoMoreThan)
			}
		}
		verdicts[at], most[at] = c.Verdict, *c.NoMoreThan
		for r, look := range map[range3]bodyWord{at[0]: c.legsLook, at[1]: c.armLook} {
			if l, ok := legsLook[r]; ok && l != look && at[0] != at[1] {
				t.Fatalf("%v looks %q and %q", r, l, look)
			}
			legsLook[r] = look
		}
		if c.Verdict == SameBody && (c.legsLook == isSlower || c.armLook != looksEven && c.Arm.SpeedLo < 95.5) {
			t.Fatalf("%v kept up and looks slower", at)
		}
	}
	if twice < 10000 {
		t.Errorf("only %d ranges came twice", twice)
	}
}

// The number of reps asked for must settle it when they look like the ones so far.
func TestSettleKeepsItsWord(t *testing.T) {
	m := DefaultMargins()
	fast, off := spread(4, math.Log(0.45), 0.03), spread(4, math.Log(0.45)+0.01, 0.03)
	legs, ok := compared(fast, off, 0, biasSide)
	c := NewCheck(legs, ok, Contrast{}, false, m)
	if c.Verdict != CantTell || c.Reason != TooFewReps {
		t.Fatalf("%q because %q", c.Verdict, c.Reason)
	}
	n := 4 + max(c.MoreFast, c.MoreOff)
	n += n % 2
	legs, ok = compared(spread(n, math.Log(0.45), 0.03), spread(n, math.Log(0.45)+0.01, 0.03), 0, biasSide)
	if got := NewCheck(legs, ok, Contrast{}, false, m); got.Verdict != SameBody {
		t.Errorf("with %d of each it is still %q", n, got.Verdict)
	}
}

// An arm timed on fewer reps than the legs gains the reps that are asked for, no more.
func TestSettleCountsTheArmsOwnReps(t *testing.T) {
	m := DefaultMargins()
	legs, arm := contrastOf(0, 0.02, 12), contrastOf(0.05, 0.04, 3)
	c := NewCheck(legs, true, arm, true, m)
	if c.Verdict != CantTell || c.Reason != TooFewReps {
		t.Fatalf("%q because %q", c.Verdict, c.Reason)
	}
	if got := NewCheck(legs.plus(c.MoreFast, c.MoreOff), true, arm.plus(c.MoreFast, c.MoreOff), true, m); got.Verdict == CantTell {
		t.Errorf("%d and %d more of each are asked for, and do not settle it", c.MoreFast, c.MoreOff)
	}
}

// Ordinary tests call these tempo values different (Welch p = 0.038) although
// neither "same" nor "slowed" is shown: the third verdict has to exist.
func TestDifferentYetUndecided(t *testing.T) {
	fast := []float64{0.146, 0.142, 0.150, 0.146, 0.142}
	off := []float64{0.150, 0.154, 0.146, 0.150, 0.158}
	legs, ok := compared(fast, off, 0, biasSide)
	if math.Abs(Percent(legs.Log)-4.4) > 0.1 {
		t.Errorf("contrast %.2f %%, want about 4.4", Percent(legs.Log))
	}
	if got := NewCheck(legs, ok, Contrast{}, false, DefaultMargins()); got.Verdict != CantTell {
		t.Errorf("verdict %q", got.Verdict)
	}
}

// What the spread says and what a rep is held against are one: in the middle of the
// bullpen the same per cent is inside.
func TestSpreadAndPaceAgree(t *testing.T) {
	o := ownOf(laps([]float64{0.45 * math.Exp(-0.02), 0.45, 0.45 * math.Exp(0.02)}, 1, 0.001))
	got := o.spread()
	for _, percent := range []float64{got.Lo - 0.1, got.Lo + 0.1, got.Hi - 0.1, got.Hi + 0.1} {
		p := o.paceOf(lapTime{place: 3, log: math.Log(0.45 * 100 / percent), u: 0.001})
		if inside := percent > got.Lo && percent < got.Hi; p.Within != inside {
			t.Errorf("%.1f %% is within: %v, the spread says %v", percent, p.Within, inside)
		}
	}
	if ownOf(laps([]float64{0.45, 0.46}, 1, 0)).spread() != nil {
		t.Error("two fastballs have a spread")
	}
}

func TestPaceOf(t *testing.T) {
	o := ownOf(laps([]float64{0.44, 0.45, 0.46}, 1, 0))
	at := func(seconds float64) *BodySpeed { return o.paceOf(lapTime{place: 3, log: math.Log(seconds)}) }
	if p := at(0.55); math.Abs(p.Percent-81.81) > 0.05 || p.Within {
		t.Errorf("two tenths slower: %+v", p)
	}
	if p := at(0.455); !p.Within {
		t.Error("one per cent slower counts as outside a spread of 2 %")
	}
	if ownOf(laps([]float64{0.44, 0.45}, 1, 0)).paceOf(lapTime{place: 3, log: math.Log(0.45)}) != nil {
		t.Error("two fastballs were enough")
	}
}

// Two of eight change-ups at 86 % of her fastballs' legs, the other six like them: the two
// are named and the others are the same, and nothing is averaged.
func TestTwoOfEightSlowed(t *testing.T) {
	reps := session(8, bullpen.ViewSide, 1, 1, 0.02)
	for i, r := range reps {
		if r.Order == 6 || r.Order == 10 {
			slow := 0.45 / 0.86
			for _, f := range []*Found{&r.Found.Plant, &r.Found.Top, &r.Found.Release} {
				f.Seconds += slow - 0.45
			}
		}
		reps[i] = r
	}
	a := Assess(reps, Options{Gaps: map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 10, U: 0.4}}})
	c := only(t, a)
	want := "Slowed body on 2 of 8 change-ups (reps 6 and 10); the other 6 same body: no slow-down larger than 2 % seen."
	if c.Verdict != SlowedBody || c.Others != SameBody || !slices.Equal(c.Slowed, []int{6, 10}) || c.Sentence != want {
		t.Errorf("%q, others %q, reps %v: %q, want %q", c.Verdict, c.Others, c.Slowed, c.Sentence, want)
	}
	for i, r := range a.Reps {
		if slowed := reps[i].Order == 6 || reps[i].Order == 10; (r.Verdict == SlowedBody) != slowed || strings.HasSuffix(r.Words, ": slowed") != slowed {
			t.Errorf("rep %d: %q, %q", reps[i].Order, r.Verdict, r.Words)
		}
	}
}

// One change-up beside her fastballs can be named, and nothing is said of others.
func TestTheOneChangeUp(t *testing.T) {
	for _, c := range []struct {
		legs, arm float64
		want      Verdict
		sentence  string
	}{
		{0.86, 0.86, SlowedBody, "Slowed body on the one change-up (rep 16)."},
		{1, 0.8, SlowedArm, "Slowed arm on the one change-up (rep 16)."},
		{1, 1, CantTell, "There is film of 1 change-up, which is too few to compare."},
	} {
		var reps []RepTiming
		for _, r := range session(8, bullpen.ViewSide, 1, 1, 0.02) {
			if r.Pitch == bullpen.Fastball {
				reps = append(reps, r)
			}
		}
		one := foundRep("one", bullpen.ChangeUp, bullpen.ViewSide, 0.45/c.legs, 0.13/c.arm)
		one.Order, one.Filmed = 16, true
		gaps := map[Subject]MeanGap{{Pitch: bullpen.ChangeUp}: {Baseline: 54, Gap: 10, U: 1}}
		a := Assess(append(reps, one), Options{Gaps: gaps})
		got := only(t, a)
		if got.Verdict != c.want || got.Sentence != c.sentence || got.On != "" {
			t.Errorf("%q %q %q, want %q %q", got.Verdict, got.Sentence, got.On, c.want, c.sentence)
		}
		if _, err := json.Marshal(a); err != nil {
			t.Error(err)
		}
	}
}

// A rep that was filmed from elsewhere and is named is named by the pitch's check too.
func TestNamedFromAnotherSide(t *testing.T) {
	reps := session(8, bullpen.ViewSide, 1, 1, 0.02)
	behind := session(4, bullpen.ViewBehind, 1/0.8, 1, 0.02)
	for i := range behind {
		behind[i].RepID += "b"
		behind[i].Order += 16
	}
	a := Assess(append(reps, append(behind[0:1:1], behind[2], behind[4], behind[6], behind[7])...), Options{})
	c := only(t, a)
	named, _ := a.Rep(behind[7].RepID)
	if named.Verdict != SlowedBody || !slices.Equal(c.Slowed, []int{behind[7].Order}) || c.Others != SameBody {
		t.Errorf("the rep from behind is %q, the check names %v, others %q: %s", named.Verdict, c.Slowed, c.Others, c.Sentence)
	}
}

// An arm that slows by itself is named as an arm; all reps slower are no single reps.
func TestNamedArmsAndAll(t *testing.T) {
	reps := session(8, bullpen.ViewSide, 1, 1, 0.02)
	reps[7].Found.Release.Seconds += 0.13/0.8 - 0.13
	c := only(t, Assess(reps, Options{}))
	if want := "Slowed arm on 1 of 8 change-ups (rep 8); the other 7 same body: no slow-down larger than 3 % seen."; c.Verdict != SlowedArm || c.Sentence != want {
		t.Errorf("%q %q, want %q", c.Verdict, c.Sentence, want)
	}
	c = only(t, Assess(session(8, bullpen.ViewSide, 1.15, 1.15, 0.02), Options{}))
	if c.Verdict != SlowedBody || c.Others != "" || !strings.HasPrefix(c.Sentence, "Her legs slowed down on the change-up") {
		t.Errorf("all slower: %q, others %q, %q", c.Verdict, c.Others, c.Sentence)
	}
}

// A body at 90 % of a 55 mph fastball gives up 5.5 mph by the rule of proportion.
func TestDivide(t *testing.T) {
	s := Divide(MeanGap{Baseline: 55, Gap: 10, U: 0.5}, Contrast{Log: -math.Log(0.9), U: 0.02})
	if math.Abs(float64(s.Body)-5.5) > 1e-9 || math.Abs(float64(s.Body+s.Hand-s.Gap)) > 1e-9 {
		t.Errorf("split %+v", s)
	}
	if !(s.BodyLo < s.Body && s.Body < s.BodyHi && s.HandLo < s.Hand && s.Hand < s.HandHi) {
		t.Errorf("ranges %+v", s)
	}
}

func TestInstantsOf(t *testing.T) {
	clock := bullpen.Clock{Num: 1, Den: 30, Ticks: []int64{0, 1, 2, 3, 4}, Slow: 8}
	got := InstantsOf(bullpen.Rep{Drive: 0, Plant: 3, Top: bullpen.Unmarked, Release: 9}, clock)
	if math.Abs(got.Legs()-3.0/240) > 1e-12 {
		t.Errorf("legs %v, want an eighth of the file's time", got.Legs())
	}
	if !math.IsNaN(got.Arm()) {
		t.Error("an instant outside the film was taken")
	}
}
