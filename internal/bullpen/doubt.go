package bullpen

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"tenoff/internal/evidence"
)

// What a reading is asked about.
const (
	doubtBelow, doubtAbove Speed = 15, 90 // mph
	doubtOthers                  = 3      // as many others show where it ought to lie
	doubtChance                  = 0.0005 // of a reading as far off, if it is right
)

// How often a slip is made, as a share of all readings (working values). A slip is asked
// about as soon as it is likelier than that the reading is right.
const (
	slipSwapped = 0.04  // 74 for 47
	slipTens    = 0.04  // 57 for 47
	slipUnit    = 0.005 // 47 mph for 47 km/h
	slipPitch   = 0.03  // a fastball logged as a change-up
	slipClose   = 20    // so many times likelier, and only that slip is asked about
	slipNear    = 2.5   // put right, it lies so many deviations from the others at most
)

// A slower pitch whose others don't agree is compared with the faster ones. Working values.
const (
	slipFar   = 8.0  // mph over all of them
	slipAgree = 3.0  // mph, the most that others spread that agree
	slipUnder = 20.0 // mph that a slower pitch may lie under every faster one
	slipOver  = 2.0  // mph that it may lie over all of them
)

// Question is what a reading is asked about; the zero Question for nothing.
type Question struct {
	Sentence string   // whether the reading can be right, and the likely slip
	Meant    *Reading // what was read, if that slip was made; nil where none explains it
	Pitch    Pitch    // what was thrown, if the slip is the pitch; "" where it is not
}

// Questions returns what each rep's reading is asked about, given the bullpen's others:
// those of the same pitch, drill and gun place. It is asked when it lies outside 15..90
// mph; when, of three others at least, it lies where hardly any next one would; and as soon
// as two others agree, when a slip is likelier than that it is right: swapped digits, a
// tens digit off by one, the other unit, another pitch's name. A slower pitch whose others
// are too few, or slips themselves, is compared with the faster pitches of its drill and
// gun place: far over all of them it can't be, nor was it meant to be there, however many
// slips agree. Readings that look as if the whole run was typed in the other unit are asked
// about together, see inOther. What the bullpen's films say against a reading is asked as
// well. Questions, never refusals.
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
	faster, other := fasterOf(thrown), inOther(thrown, pen.Usual)
	pitches := map[group][]asPitch{}
	for key, sample := range setsToAsk(thrown) {
		pitches[key.group] = append(pitches[key.group], asPitch{key.pitch, sample, pen.SpreadOf(key.pitch)})
	}
	for _, p := range pitches {
		slices.SortFunc(p, func(a, b asPitch) int { return cmp.Compare(a.pitch, b.pitch) })
	}
	for i, t := range thrown {
		switch {
		case t.rep.Reading == nil || t.rep.Sure && t.read:
		case !t.counts():
			t.asked = asking{reading: t.reading, spread: fastSpread}.question()
		default:
			a := asking{reading: t.reading, pitch: t.pitch, pitches: pitches[t.in]}
			for _, p := range a.pitches {
				if p.pitch == t.pitch {
					a.like, a.spread = p.sample.without(float64(t.speed)), p.spread
				}
			}
			if isSlower(t.pitch) {
				a.faster = faster[t.in]
			}
			t.asked = a.question()
			if t.asked.Meant == nil && t.asked.Pitch == "" && other[i].Meant != nil {
				t.asked = other[i]
			}
		}
		if said, ok := pen.Against[t.rep.ID]; ok && t.read && !t.rep.Sure {
			t.asked = said.against(t.reading, t.asked)
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

// asking is a reading with what it is held against.
type asking struct {
	reading Reading
	like    Sample // the others like it, mph
	spread  float64
	faster  Sample    // of a slower pitch the faster ones
	pitch   Pitch     // what it was logged as
	pitches []asPitch // what it may have been, that one among them
}

// asPitch is a pitch of the reading's drill and gun place.
type asPitch struct {
	pitch  Pitch
	sample Sample
	spread float64 // expected, mph
}

// next is what is known of one more reading: its mean that of the sample, its spread drawn
// from the expected one to the sample's (Gelman et al., Bayesian Data Analysis, 3rd ed.,
// section 3.2, with a prior worth evidence.UsualWorth).
func (s Sample) next(spread float64) evidence.Estimate {
	n, df := float64(s.N), float64(evidence.UsualWorth+s.N-1)
	square := (evidence.UsualWorth*spread*spread + (n-1)*s.SD*s.SD) / df
	return evidence.Estimate{Value: s.Mean, Scale: math.Sqrt(square * (1 + 1/n)), DF: df}
}

// question asks about the reading, given the others like it and, of a slower pitch, the
// faster ones.
func (a asking) question() Question {
	r, v := a.reading, a.reading.Speed()
	others, named := a.like, "others like it"
	var found slip
	far := false
	if a.like.N >= 2 && a.like.SD <= max(slipAgree, 1.5*a.spread) {
		next := a.like.next(a.spread)
		if off := math.Abs(float64(v) - next.Value); off > slipNear*next.Scale {
			found = a.likeliest(next)
			far = a.like.N >= doubtOthers && 2*next.Below(next.Value-off) < doubtChance
		}
	} else if a.faster.N >= 2 && float64(v) >= a.faster.Max+slipFar {
		others, named = a.faster, "faster pitches"
		found = slipOf(r, a.faster.isOver)
	} else if a.like.N >= doubtOthers {
		next := a.like.next(a.spread)
		far = 2*next.Below(next.Value-math.Abs(float64(v)-next.Value)) < doubtChance
	}
	switch {
	case !v.possible():
		return Question{Sentence: fmt.Sprintf("Sure about %s? No ball has that speed.", r)}
	case v < doubtBelow || v > doubtAbove:
		return Question{fmt.Sprintf("Sure about %s? It lies outside %.0f to %.0f %s.%s", r, doubtBelow.In(r.Unit), doubtAbove.In(r.Unit), r.Unit, found.asked), found.meant, found.pitch}
	case found.asked == "" && !far:
		return Question{}
	}
	return Question{fmt.Sprintf("Sure about %s? The %d %s read %s.%s", r, others.N, named, others.said(r), found.asked), found.meant, found.pitch}
}

// slip is a slip of the finger that explains a reading; the zero slip for none.
type slip struct {
	meant *Reading // what was read
	pitch Pitch    // what was thrown
	asked string
}

// likeliest returns the slips that are likelier than that the reading is right, if the next
// one like it is as known: of the finger the likeliest, and another pitch's name. Each
// slip's odds are how often it is made, times how much better the reading fits once it is
// put right. Ten less and a fastball often fit alike: both are asked then.
func (a asking) likeliest(next evidence.Estimate) slip {
	v := a.reading.Speed()
	right := next.Density(float64(v))
	finger, most := slip{}, right
	try := func(odds float64, r Reading, asked string) {
		v := r.Speed()
		if math.Abs(float64(v)-next.Value) > slipNear*next.Scale || a.faster.N >= 2 && !a.faster.isUnder(v) {
			return
		}
		if odds *= next.Density(float64(v)); odds > most {
			finger, most = slip{meant: &r, asked: asked}, odds
		}
	}
	if r, ok := a.reading.Swapped(); ok {
		try(slipSwapped, r, swappedAsked(r))
	}
	for _, by := range []struct {
		tens float64
		word string
	}{{-10, "less"}, {10, "more"}} {
		r := a.reading
		if r.Value += by.tens; r.Value >= 10 {
			try(slipTens/2, r, fmt.Sprintf(" Was it %s, ten %s?", r, by.word))
		}
	}
	other := a.reading.InOther()
	try(slipUnit, other, otherAsked(a.reading, other))

	name, likely := slip{}, right
	for _, p := range a.pitches {
		if p.pitch == a.pitch || p.sample.N < 2 {
			continue
		}
		as := p.sample.next(p.spread)
		odds := slipPitch / float64(len(a.pitches)-1) * as.Density(float64(v))
		if math.Abs(float64(v)-as.Value) <= slipNear*as.Scale && odds > likely {
			name, likely = slip{pitch: p.pitch, asked: fmt.Sprintf("was it a %s?", p.pitch.name())}, odds
		}
	}
	switch {
	case name.pitch == "" || likely < most/slipClose:
		return finger
	case finger.meant == nil || most < likely/slipClose:
		return slip{pitch: name.pitch, asked: " W" + name.asked[1:]}
	}
	return slip{meant: finger.meant, pitch: name.pitch, asked: finger.asked + " Or " + name.asked}
}

// said is between which speeds the sample lies, as the gun of the reading shows them.
func (s Sample) said(r Reading) string {
	low, high := decimal(Speed(s.Min).In(r.Unit), r.Step), decimal(Speed(s.Max).In(r.Unit), r.Step)
	if low != high {
		low += " to " + high
	}
	return low + " " + string(r.Unit)
}

// isOver says whether v is what a slower pitch can have beside these faster ones.
func (s Sample) isOver(v Speed) bool {
	return float64(v) >= s.Min-slipUnder && s.isUnder(v)
}

// isUnder says whether v does not lie over all of these faster ones.
func (s Sample) isUnder(v Speed) bool { return float64(v) <= s.Max+slipOver }

// slipOf returns the slip of the finger that makes the reading fit; the zero one for none.
// Of two slips that do, swapped digits are the likelier.
func slipOf(r Reading, fits func(Speed) bool) slip {
	if swapped, ok := r.Swapped(); ok && fits(swapped.Speed()) {
		return slip{meant: &swapped, asked: swappedAsked(swapped)}
	}
	if other := r.InOther(); fits(other.Speed()) {
		return slip{meant: &other, asked: otherAsked(r, other)}
	}
	return slip{}
}

func swappedAsked(meant Reading) string {
	return fmt.Sprintf(" Were the digits swapped, and it was %s?", meant)
}

func otherAsked(r, other Reading) string {
	return fmt.Sprintf(" Was it %s, which is %s %s?", other, decimal(other.Speed().In(r.Unit), r.Step), r.Unit)
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
