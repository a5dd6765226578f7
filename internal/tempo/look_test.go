package tempo

import (
	"math"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// eyed marks drive and plant by hand on the first n reps of each side, on frames 1/30 s
// apart, so much later at the plant of off-speed reps than what was found.
func eyed(reps []RepTiming, n int, late float64) []RepTiming {
	marked := map[bool]int{}
	for i := range reps {
		off := reps[i].Pitch != bullpen.Fastball
		if marked[off]++; marked[off] > n {
			continue
		}
		// The marks scatter by a frame's third to either side, evenly.
		beside := 0.010 * float64(marked[off]%2*2-1)
		f := reps[i].Found
		reps[i].Marked.Drive, reps[i].Marked.Plant = f.Drive.Seconds+beside, f.Plant.Seconds
		if off {
			reps[i].Marked.Plant += late
		}
		reps[i].Gaps = Instants{1.0 / 30, 1.0 / 30, 1.0 / 30, 1.0 / 30}
	}
	return reps
}

// Where an off-speed posture keeps the found instants from telling, marks by hand that
// bear them out do tell; marks that do not, too few of them, and marks that were only
// taken over from what was found do not.
func TestMarksByHandSettleAnotherShape(t *testing.T) {
	another := func() []RepTiming { return unlike(session(16, bullpen.ViewSide, 1, 1, 0.02), 0.87) }
	taken := eyed(another(), 16, 0)
	for i := range taken {
		taken[i].Copied = true
	}
	for _, tt := range []struct {
		name string
		reps []RepTiming
		want Verdict
	}{
		{"no marks", another(), CantTell},
		{"marks that bear it out", eyed(another(), 16, 0), SameBody},
		{"two marks on each side", eyed(another(), 2, 0), CantTell},
		{"marks that see the foot land later", eyed(another(), 16, 0.025), CantTell},
		{"marks taken over", taken, CantTell},
	} {
		c := only(t, Assess(tt.reps, Options{}))
		if c.Verdict != tt.want || c.Verdict == CantTell && c.Reason != OtherShape {
			t.Errorf("%s: %q, %q, legs within %.3f, unlike by %.3f", tt.name, c.Verdict, c.Reason, c.legs.U, c.legs.Unlike)
		}
	}
	// The sentence names a number that does settle it.
	c := only(t, Assess(another(), Options{}))
	if n := c.markEach; n < leastLooks || n > 16 || !strings.Contains(c.Sentence, "which should settle it") {
		t.Errorf("asks for marks on %d of each: %s", n, c.Sentence)
	} else if got := only(t, Assess(eyed(another(), n, 0), Options{})); got.Verdict != SameBody {
		t.Errorf("marks on %d of each leave it at %q: %s", n, got.Verdict, got.Sentence)
	}
	// A shaky eye's marks would not, and it does not say so.
	shaky := only(t, Assess(unlike(session(30, bullpen.ViewSide, 1.02, 1.02, 0.02), 0.85), Options{Eye: 0.08}))
	if shaky.Reason != OtherShape || !strings.HasSuffix(shaky.Sentence, "look at the two side by side.") {
		t.Errorf("%q: %s", shaky.Reason, shaky.Sentence)
	}
	var none looks
	if !math.IsInf(none.apart(), 1) {
		t.Error("no marks bound something")
	}
}
