package bullpen

import (
	"math"
	"strconv"
)

// Verdict says where a gap lies against its band.
type Verdict string

// The verdicts on a gap, firm to soft. The empty verdict is pending: no reading,
// no baseline, or a pitch without a band.
const (
	Pending Verdict = ""
	TooFirm Verdict = "too firm"
	InBand  Verdict = "in the band"
	Soft    Verdict = "soft"
	TooSoft Verdict = "too soft"
)

// Said is the verdict in words: beyond which edge it may as well lie, and that it hangs on
// few reps.
func (v Verdict) Said(edgeOf Verdict, soFar bool) string {
	words := string(v)
	if v == Pending {
		return words
	}
	if edgeOf != Pending {
		words += ", on the edge of " + edgeOf.Place()
	}
	if soFar {
		words += ", so far"
	}
	return words
}

// Shown writes a gap, in its unit, beside a verdict that is on the edge of v (Pending: of
// none): in tenths, and on an edge always with the tenth that decides, so that 7.96 reads
// 8.0 there and not 8.
func (v Verdict) Shown(gap float64) string {
	if v == Pending {
		return Tenths(gap)
	}
	return Minus(strconv.FormatFloat(math.Round(10*gap)/10+0, 'f', 1, 64))
}

// Place names the verdict as something to be on the edge of: "the band", "too soft".
func (v Verdict) Place() string {
	if v == InBand {
		return "the band"
	}
	return string(v)
}
