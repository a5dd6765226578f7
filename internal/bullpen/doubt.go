package bullpen

import (
	"fmt"
	"math"
	"strconv"
)

// What a reading is asked about.
const (
	doubtBelow, doubtAbove Speed = 15, 90 // mph
	doubtSDs                     = 4
	doubtOthers                  = 3 // as many others show a spread
)

// A slip of the finger needs less: a reading as far as any slip takes it from others
// that agree, and among them once it is put right. Working values: of readings that are
// right they take up next to none, see the test of false questions.
const (
	slipFar   = 8.0  // mph from the mean; swapped digits are 9 apart at least
	slipNear  = 4.0  // mph from the mean, put right
	slipAgree = 3.0  // mph, the most that the others spread
	slipUnder = 15.0 // mph that a slower pitch may lie under any other
	slipOver  = 2.0  // mph that it may lie over all others
)

// Question is what a reading is asked about; the zero Question for nothing.
type Question struct {
	Sentence string   // whether the reading can be right, and the likely slip
	Meant    *Reading // what was read, if that slip was made; nil where none explains it
}

// Questions returns what each rep's reading is asked about, given the bullpen's others:
// those of the same pitch, drill and gun place. It is asked when it lies outside 15..90
// mph, or more than four standard deviations from the mean of the others, the spread
// taken as one step of the display at least and three others needed; and as soon as two
// others agree, when swapped digits or the other unit explain it. A slower pitch without
// two others like it is compared with all of its drill and gun place: over all of them
// it can't be. Questions, never refusals.
func Questions(pen Bullpen, reps []Rep) []Question {
	j := newJudge(Pitcher{}, pen, reps)
	out := make([]Question, len(reps))
	for _, t := range j.thrown {
		if t.rep.Reading != nil {
			out[t.index] = j.question(t)
		}
	}
	return out
}

// MostRead is the largest number that is taken for a reading, in either unit: what
// lies beyond is a slip of the finger, and refused.
const MostRead = 250

// question asks about a reading of a pitch, given the others like it, and all others of
// its drill and gun place.
func question(r Reading, pitch Pitch, like, all Sample) Question {
	v := r.Speed()
	meant, how := slip(r, pitch, like, all)
	sure := fmt.Sprintf("Sure about %s?", r)
	others := othersSaid(r, like, all)
	switch {
	case !v.possible():
		return Question{Sentence: sure + " No ball has that speed."}
	case v < doubtBelow || v > doubtAbove:
		out := fmt.Sprintf(" It lies outside %.0f to %.0f %s.", doubtBelow.In(r.Unit), doubtAbove.In(r.Unit), r.Unit)
		return Question{sure + out + how, meant}
	case meant != nil:
		return Question{sure + others + how, meant}
	case like.N < doubtOthers:
		return Question{}
	}
	spread := max(like.SD, float64(SpeedOf(r.Step, r.Unit)))
	if exact(math.Abs(float64(v)-like.Mean)) <= exact(doubtSDs*spread) {
		return Question{}
	}
	return Question{Sentence: sure + others}
}

// othersSaid says what the others read, in the reading's unit.
func othersSaid(r Reading, like, all Sample) string {
	others, what := like, "others like it"
	if like.N < 2 {
		others, what = all, "others"
	}
	low, high := decimal(Speed(others.Min).In(r.Unit), r.Step), decimal(Speed(others.Max).In(r.Unit), r.Step)
	if low != high {
		low += " to " + high
	}
	return fmt.Sprintf(" The %d %s read %s %s.", others.N, what, low, r.Unit)
}

// slip returns what was read if the reading is a slip of the finger that explains it,
// and asks for it; nil for none. Of two slips that do, swapped digits are the likelier.
func slip(r Reading, pitch Pitch, like, all Sample) (meant *Reading, asked string) {
	fits := func(v Speed) bool { return math.Abs(float64(v)-like.Mean) <= slipNear }
	switch v := float64(r.Speed()); {
	case like.N >= 2:
		if like.SD > slipAgree || math.Abs(v-like.Mean) < slipFar {
			return nil, ""
		}
	case all.N >= 2 && isSlower(pitch):
		if v < all.Max+slipFar {
			return nil, ""
		}
		fits = func(v Speed) bool { return float64(v) >= all.Min-slipUnder && float64(v) <= all.Max+slipOver }
	default:
		return nil, ""
	}
	if swapped, ok := r.Swapped(); ok && fits(swapped.Speed()) {
		return &swapped, fmt.Sprintf(" Were the digits swapped, and it was %s?", swapped)
	}
	if other := r.InOther(); fits(other.Speed()) {
		in := r
		in.Value = other.Speed().In(r.Unit)
		return &other, fmt.Sprintf(" Was it %s, which is %s %s?", other, decimal(in.Value, r.Step), r.Unit)
	}
	return nil, ""
}

// isSlower says whether a pitch is meant to be slower than the baseline.
func isSlower(p Pitch) bool {
	t, ok := TypeOf(p)
	return ok && t.Band != nil
}

// Swapped returns the reading with the two digits of its whole part changed round (74
// for 47); false if that is no other reading.
func (r Reading) Swapped() (Reading, bool) {
	whole := math.Floor(r.Value)
	if whole < 10 || whole > 99 {
		return r, false
	}
	tens, ones := math.Floor(whole/10), math.Mod(whole, 10)
	if tens == ones || ones == 0 {
		return r, false
	}
	r.Value += (10*ones + tens) - whole
	return r, true
}

// InOther returns the same number read in the other unit.
func (r Reading) InOther() Reading {
	if r.Unit == KMH {
		r.Unit = MPH
	} else {
		r.Unit = KMH
	}
	return r
}

// without returns the sample less one of its numbers: in each of n readings' turn the
// others, at the cost of one pass.
func (s Sample) without(x float64) Sample {
	if s.N < 2 {
		return Sample{}
	}
	n := float64(s.N)
	left := Sample{N: s.N - 1, Mean: (n*s.Mean - x) / (n - 1), Min: s.Min, Max: s.Max}
	if x == s.Min {
		left.Min = s.second.min
	}
	if x == s.Max {
		left.Max = s.second.max
	}
	if left.N > 1 {
		squares := (n-1)*s.SD*s.SD - (x-s.Mean)*(x-s.Mean)*n/(n-1)
		left.SD = math.Sqrt(max(0, squares) / (n - 2))
	}
	return left
}

// String returns the reading as the gun showed it, with its unit.
func (r Reading) String() string {
	shown := strconv.FormatFloat(r.Value, 'f', -1, 64)
	if padded := decimal(r.Value, r.Step); len(padded) > len(shown) {
		shown = padded // 55.0 on a display of tenths
	}
	return shown + " " + string(r.Unit)
}

// decimal writes v with as many decimals as a display of that step shows.
func decimal(v, step float64) string {
	decimals := 0
	if step > 0 && step < 1 {
		decimals = min(3, int(math.Ceil(-math.Log10(step)-1e-9)))
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
