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
	slipUnder = 20.0 // mph that a slower pitch may lie under every faster one
	slipOver  = 2.0  // mph that it may lie over all of them
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
// others agree, when swapped digits or the other unit explain it. A slower pitch whose
// others are too few, or slips themselves, is compared with the faster pitches of its
// drill and gun place: far over all of them it can't be, nor was it meant to be there,
// however many slips agree. Readings that look as if the whole run was typed in the
// other unit are asked about together, see inOther. Questions, never refusals.
func Questions(pen Bullpen, reps []Rep) []Question {
	thrown := throws(pen, reps)
	ask(pen, thrown)
	out := make([]Question, len(reps))
	for _, t := range thrown {
		out[t.index] = t.asked
	}
	return out
}

// ask fills in what each throw's reading is asked about, given the others. A slip of its
// own that explains it is likelier than a whole run in the other unit. What somebody said
// to be right is not asked about.
func ask(pen Bullpen, thrown []*throw) {
	all, faster, other := setsToAsk(thrown), fasterOf(thrown), inOther(thrown, pen.Usual)
	for i, t := range thrown {
		switch {
		case t.rep.Reading == nil || t.rep.Sure && t.read:
		case !t.counts():
			t.asked = question(t.reading, Sample{}, Sample{})
		default:
			var over Sample
			if isSlower(t.pitch) {
				over = faster[t.in]
			}
			t.asked = question(t.reading, all[setKey{t.pitch, t.in}].without(float64(t.speed)), over)
			if t.asked.Meant == nil && other[i].Meant != nil {
				t.asked = other[i]
			}
		}
	}
}

// setsToAsk describes, by set, the speeds that count, whether they are asked about or not.
func setsToAsk(thrown []*throw) map[setKey]Sample {
	speeds := map[setKey][]float64{}
	for _, t := range thrown {
		if t.counts() {
			key := setKey{t.pitch, t.in}
			speeds[key] = append(speeds[key], float64(t.speed))
		}
	}
	out := make(map[setKey]Sample, len(speeds))
	for key, s := range speeds {
		out[key] = SampleOf(s)
	}
	return out
}

// MostRead is the largest number that is taken for a reading, in either unit: what
// lies beyond is a slip of the finger, and refused.
const MostRead = 250

// question asks about a reading, given the others like it and, of a slower pitch, the
// faster ones.
func question(r Reading, like, faster Sample) Question {
	v := r.Speed()
	others, named := like, "others like it"
	var meant *Reading
	var how string
	switch agree := like.N >= 2 && like.SD <= slipAgree; {
	case agree && math.Abs(float64(v)-like.Mean) >= slipFar:
		meant, how = slip(r, func(v Speed) bool { return like.isLike(v) && (faster.N < 2 || faster.isUnder(v)) })
	case !agree && faster.N >= 2 && float64(v) >= faster.Max+slipFar:
		others, named = faster, "faster pitches"
		meant, how = slip(r, faster.isOver)
	}
	switch spread := max(like.SD, float64(SpeedOf(r.Step, r.Unit))); {
	case !v.possible():
		return Question{Sentence: fmt.Sprintf("Sure about %s? No ball has that speed.", r)}
	case v < doubtBelow || v > doubtAbove:
		return Question{fmt.Sprintf("Sure about %s? It lies outside %.0f to %.0f %s.%s", r, doubtBelow.In(r.Unit), doubtAbove.In(r.Unit), r.Unit, how), meant}
	case meant != nil:
	case like.N < doubtOthers || exact(math.Abs(float64(v)-like.Mean)) <= exact(doubtSDs*spread):
		return Question{}
	default:
		others, named = like, "others like it"
	}
	return Question{fmt.Sprintf("Sure about %s? The %d %s read %s.%s", r, others.N, named, others.said(r), how), meant}
}

// said is between which speeds the sample lies, as the gun of the reading shows them.
func (s Sample) said(r Reading) string {
	low, high := decimal(Speed(s.Min).In(r.Unit), r.Step), decimal(Speed(s.Max).In(r.Unit), r.Step)
	if low != high {
		low += " to " + high
	}
	return low + " " + string(r.Unit)
}

// isLike says whether v is like the others.
func (s Sample) isLike(v Speed) bool { return math.Abs(float64(v)-s.Mean) <= slipNear }

// isOver says whether v is what a slower pitch can have beside these faster ones.
func (s Sample) isOver(v Speed) bool {
	return float64(v) >= s.Min-slipUnder && s.isUnder(v)
}

// isUnder says whether v does not lie over all of these faster ones.
func (s Sample) isUnder(v Speed) bool { return float64(v) <= s.Max+slipOver }

// slip returns what was read if a slip of the finger makes it fit, and asks for it; nil
// for none. Of two slips that do, swapped digits are the likelier.
func slip(r Reading, fits func(Speed) bool) (meant *Reading, asked string) {
	if swapped, ok := r.Swapped(); ok && fits(swapped.Speed()) {
		return &swapped, fmt.Sprintf(" Were the digits swapped, and it was %s?", swapped)
	}
	if other := r.InOther(); fits(other.Speed()) {
		return &other, fmt.Sprintf(" Was it %s, which is %s %s?", other, decimal(other.Speed().In(r.Unit), r.Step), r.Unit)
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
	return Minus(shown) + " " + string(r.Unit)
}

// decimal writes v with as many decimals as a display of that step shows.
func decimal(v, step float64) string {
	decimals := 0
	if step > 0 && step < 1 {
		decimals = min(3, int(math.Ceil(-math.Log10(step)-1e-9)))
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
