package tempo

import (
	"math"
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
			got := Judge(tt.legs, tt.legsOK, tt.arm, tt.armOK, m)
			if got.Verdict != tt.want || got.Reason != tt.reason {
				t.Errorf("%q because %q, want %q because %q", got.Verdict, got.Reason, tt.want, tt.reason)
			}
			if got.Reason == TooFewReps && got.MoreFast+got.MoreOff == 0 {
				t.Error("asks for more reps without saying how many")
			}
		})
	}
}

// The number of reps asked for must settle it when they look like the ones so far.
func TestSettleKeepsItsWord(t *testing.T) {
	m := DefaultMargins()
	fast, off := spread(4, math.Log(0.45), 0.03), spread(4, math.Log(0.45)+0.01, 0.03)
	legs, ok := Compare(fast, off, 0, biasSide)
	c := Judge(legs, ok, Contrast{}, false, m)
	if c.Verdict != CantTell || c.Reason != TooFewReps {
		t.Fatalf("%q because %q", c.Verdict, c.Reason)
	}
	n := 4 + max(c.MoreFast, c.MoreOff)
	n += n % 2
	legs, ok = Compare(spread(n, math.Log(0.45), 0.03), spread(n, math.Log(0.45)+0.01, 0.03), 0, biasSide)
	if got := Judge(legs, ok, Contrast{}, false, m); got.Verdict != SameBody {
		t.Errorf("with %d of each it is still %q", n, got.Verdict)
	}
}

// An arm timed on fewer reps than the legs gains the reps that are asked for, no more.
func TestSettleCountsTheArmsOwnReps(t *testing.T) {
	m := DefaultMargins()
	legs, arm := contrastOf(0, 0.02, 12), contrastOf(0.05, 0.04, 3)
	c := Judge(legs, true, arm, true, m)
	if c.Verdict != CantTell || c.Reason != TooFewReps {
		t.Fatalf("%q because %q", c.Verdict, c.Reason)
	}
	if got := Judge(legs.plus(c.MoreFast, c.MoreOff), true, arm.plus(c.MoreFast, c.MoreOff), true, m); got.Verdict == CantTell {
		t.Errorf("%d and %d more of each are asked for, and do not settle it", c.MoreFast, c.MoreOff)
	}
}

// Ordinary tests call these tempo values different (Welch p = 0.038) although
// neither "same" nor "slowed" is shown: the third verdict has to exist.
func TestDifferentYetUndecided(t *testing.T) {
	fast := []float64{0.146, 0.142, 0.150, 0.146, 0.142}
	off := []float64{0.150, 0.154, 0.146, 0.150, 0.158}
	legs, ok := Compare(fast, off, 0, biasSide)
	if math.Abs(Percent(legs.Log)-4.4) > 0.1 {
		t.Errorf("contrast %.2f %%, want about 4.4", Percent(legs.Log))
	}
	if got := Judge(legs, ok, Contrast{}, false, DefaultMargins()); got.Verdict != CantTell {
		t.Errorf("verdict %q", got.Verdict)
	}
}

// The interval of one more value, mean +- t s sqrt(1 + 1/n): with three values of
// standard deviation 0.02 and t(0.975, 2) = 4.3027 (standard tables) it reaches
// 4.3027 x 0.02 x 1.1547 = 0.0994 on the log scale.
func TestSpreadOf(t *testing.T) {
	fast := []float64{0.45 * math.Exp(-0.02), 0.45, 0.45 * math.Exp(0.02)}
	got, ok := SpreadOf(fast, 0.001)
	if want := (Spread{Lo: 90.54, Hi: 110.45}); !ok || math.Abs(got.Lo-want.Lo) > 0.02 || math.Abs(got.Hi-want.Hi) > 0.02 {
		t.Errorf("%+v, %v; want %+v", got, ok, want)
	}
	for _, percent := range []float64{got.Lo - 0.1, got.Lo + 0.1, got.Hi - 0.1, got.Hi + 0.1} {
		p, _ := PaceOf(0.45*100/percent, fast, 0.001, false)
		if inside := percent > got.Lo && percent < got.Hi; p.Within != inside {
			t.Errorf("%.1f %% is within: %v, the spread says %v", percent, p.Within, inside)
		}
	}
	if _, ok := SpreadOf(fast[:2], 0); ok {
		t.Error("two fastballs have a spread")
	}
}

func TestPaceOf(t *testing.T) {
	fast := []float64{0.44, 0.45, 0.46}
	p, ok := PaceOf(0.55, fast, 0, false)
	if !ok || math.Abs(p.Percent-81.81) > 0.05 {
		t.Errorf("pace %.2f, want 81.8", p.Percent)
	}
	if p.Within {
		t.Error("two tenths slower count as inside a spread of 2 %")
	}
	if p, _ := PaceOf(0.455, fast, 0, false); !p.Within {
		t.Error("one per cent slower counts as outside a spread of 2 %")
	}
	if _, ok := PaceOf(0.45, fast[:2], 0, false); ok {
		t.Error("two fastballs were enough")
	}
	if _, ok := PaceOf(math.NaN(), fast, 0, false); ok {
		t.Error("an unknown time has a pace")
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
