package bullpen

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Ends returns the first and the last whole number of the unit that lie in the range, as
// they are written; both are one where it holds one: the ends are rounded into the range
// and never out of it, so that nobody is sent to a speed outside the band. Those of a range
// without a whole number are tenths, rounded in the same way, and of one without a tenth
// the nearest.
func (r Range) Ends(unit Unit) (first, last string) {
	lo, hi := exact(r.Lo.In(unit)), exact(r.Hi.In(unit))
	for _, per := range []float64{1, 10} {
		first, last := math.Ceil(exact(lo*per)), math.Floor(exact(hi*per))
		if first <= last {
			return Tenths(first / per), Tenths(last / per)
		}
	}
	middle := Tenths((lo + hi) / 2)
	return middle, middle
}

// Whole writes the range by its Ends: "41 to 44".
func (r Range) Whole(unit Unit) string {
	first, last := r.Ends(unit)
	if first == last {
		return first
	}
	return fmt.Sprintf("%s to %s", first, last)
}

// Middle returns the number in the middle of the range as it is written, "" where none that
// near the middle lies in it: the one number that a pitcher aims at.
func (r Range) Middle(unit Unit) string {
	middle := (r.Lo.In(unit) + r.Hi.In(unit)) / 2
	whole := math.Floor(middle + 0.5 - 1e-9) // of two as near, the lower
	if whole < exact(r.Lo.In(unit)) || whole > exact(r.Hi.In(unit)) {
		return ""
	}
	return Tenths(whole)
}

// MiddleFirst writes the number in the middle of the range and then the range, in the
// unit: "44 mph (42 to 46)". One number is what a pitcher aims at; the range is what it may be.
// It is whole, where a whole number that near the middle lies in the range.
func (r Range) MiddleFirst(unit Unit) string {
	first, whole := r.Middle(unit), r.Whole(unit)
	if first == "" || first == whole {
		return fmt.Sprintf("%s %s", whole, unit)
	}
	return fmt.Sprintf("%s %s (%s)", first, unit, whole)
}

// Tenths writes v with one decimal, a half rounded away from nothing, or with none
// where that is 0: the one rounding of speeds in words, the page's as well.
func Tenths(v float64) string {
	return Minus(strconv.FormatFloat(math.Round(10*v)/10+0, 'f', -1, 64))
}

// Minus writes a number's text with the minus sign that people read instead of the
// hyphen of a keyboard; what programs read keeps the hyphen.
func Minus(number string) string {
	if rest, ok := strings.CutPrefix(number, "-"); ok {
		return "\u2212" + rest
	}
	return number
}

// Signed writes v in whole numbers with the sign that people read: "+8", "\u22128" (the
// minus sign, not the hyphen of a keyboard), "0".
func Signed(v float64) string {
	text := Minus(strconv.FormatFloat(math.Round(v)+0, 'f', -1, 64))
	if v = math.Round(v); v > 0 {
		return "+" + text
	}
	return text
}

// Percent writes a number of per cent without decimals, a half rounded away from
// nothing: 62.5 is 63 % wherever it is said, as on the page.
func Percent(v float64) string {
	return strconv.FormatFloat(math.Round(v)+0, 'f', -1, 64) + " %"
}
