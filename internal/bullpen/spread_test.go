package bullpen

import (
	"fmt"
	"math"
	"testing"
)

func fastballs(values ...float64) []Rep {
	var reps []Rep
	for i, v := range values {
		reps = append(reps, Rep{ID: fmt.Sprint(i), Order: i + 1, Pitch: Fastball, Reading: &Reading{Value: v}})
	}
	return reps
}

// By hand: 54, 56, 56 and 54 have no slope and lie 1 mph from their mean each, so that
// their squares are 4, of which a display of whole numbers makes 4/12 (JCGM 100:2008,
// F.2.2.1); three degrees of freedom are left.
func TestSpreadsIn(t *testing.T) {
	reps := fastballs(54, 56, 56, 54)
	want := Spread{Speed(math.Sqrt((4 - 4.0/12) / 3)), 3}
	if got := SpreadsIn(pen, reps)[Fastball]; math.Abs(float64(got.SD-want.SD)) > 1e-12 || got.DF != want.DF {
		t.Errorf("%+v, want %+v", got, want)
	}
	drill, elsewhere, warm := reps[1], reps[2], reps[3]
	drill.Drill, elsewhere.Reading, warm.WarmUp = "wall", &Reading{Value: 30, Gun: BesidePitcher}, true
	other := append(reps, drill, elsewhere, warm)
	for i := range other {
		other[i].Order, other[i].ID = i+1, fmt.Sprint(i)
	}
	got := SpreadsIn(pen, other)
	if got[Fastball].DF != 3 || len(got) != 1 {
		t.Errorf("with a drill, another place and a warm-up: %+v", got)
	}
	if got := SpreadsIn(pen, fastballs(54, 55)[:1]); len(got) != 0 {
		t.Errorf("of one reading: %+v", got)
	}
	asked := fastballs(54, 56, 56, 54, 45) // the digits swapped
	if got := SpreadsIn(pen, asked)[Fastball].DF; got != 3 {
		t.Errorf("a reading that is asked about counts: %d degrees of freedom", got)
	}
	taught := pen
	taught.Spreads, taught.Usual = Spreads{Fastball: {9, 100}}, 30
	if got := SpreadsIn(taught, asked)[Fastball].DF; got != 3 {
		t.Errorf("it hangs on what was before it: %d degrees of freedom", got)
	}
}

// By hand, s^2 = ((n1-1) s1^2 + (n2-1) s2^2) / (n1+n2-2) (NIST/SEMATECH e-Handbook,
// 7.3.1.1): (3 * 1 + 6 * 4) / 9 = 3.
func TestPooledSpreads(t *testing.T) {
	got := PooledSpreads([]Spreads{{Fastball: {1, 3}, Curve: {2, 4}}, {Fastball: {2, 6}}, {}})
	if f := got[Fastball]; math.Abs(float64(f.SD)-math.Sqrt(3)) > 1e-12 || f.DF != 9 || got[Curve] != (Spread{2, 4}) {
		t.Errorf("%+v", got)
	}
}

// A kid whose readings go far apart is known by her bullpens before, and the uncertainty
// of three readings is hers and not a steady pitcher's.
func TestHerOwnSpreadIsExpected(t *testing.T) {
	reps := append(fastballs(40, 41, 40), fastballs(31, 30, 31)...)
	for i := range reps {
		reps[i].ID, reps[i].Order = fmt.Sprint(i), i+1
		if i >= 3 {
			reps[i].Pitch = ChangeUp
		}
	}
	u := func(s Spreads) float64 {
		p := pen
		p.Spreads = s
		return float64(*Judge(kim(), p, nil, reps).Summaries[1].StandardError)
	}
	if none, kid := u(nil), u(Spreads{Fastball: {2.5, 60}, ChangeUp: {3.5, 60}}); kid < 1.5*none {
		t.Errorf("uncertainty %.2f without, %.2f with her own spread", none, kid)
	}
}
