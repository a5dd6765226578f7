package bullpen

import (
	"cmp"
	"fmt"
	"math"
)

// When readings look as if they were typed in the other unit than the gun's. A mile is
// 1.6 km, so that no pitcher's change from one bullpen to the next comes near it.
// Working values, but for noPitcher: hardly anybody in the sport, and nobody in youth
// play, throws faster (common practice, no source).
const (
	otherFar                      = 0.25      // of what she throws, off it as typed
	otherNear                     = 0.12      // of what she throws, off it in the other unit
	noPitcher               Speed = 75        // mph
	somePitcher             Speed = 30        // mph, the slowest that is taken for a full pitch
	slowerThanUsual               = 0.8       // of the full pitch, about where slower pitches and drills lie
	slowerOver, slowerUnder       = 1.15, 0.6 // of the full pitch, where no slower pitch lies
)

// inOther asks about the readings of a bullpen that look like the other unit: by the
// full pitches that are not meant to be slower, against what she throws in the bullpens
// before (pen.Usual) where that is known, else against what anybody throws. A full pitch
// is asked about by itself as well; the others as part of the run, or where no full pitch
// is in their unit, against her pace. The sentence is the same for all of one unit. It
// returns one Question for each throw, the zero one for none.
func inOther(thrown []*throw, usual Speed) []Question {
	out := make([]Question, len(thrown))
	if usual > noPitcher {
		usual = 0 // those before were typed in the wrong unit too
	}
	for _, unit := range []Unit{MPH, KMH} {
		askOther(thrown, unit, usual, out)
	}
	return out
}

// askOther asks about the readings in one unit.
func askOther(thrown []*throw, unit Unit, usual Speed, out []Question) {
	var typed, other, right []float64 // full pitches in unit, the same in the other, and those in the other
	read := 0
	for _, t := range thrown {
		switch {
		case !t.counts():
			continue
		case !t.isFull():
		case t.reading.Unit == unit:
			typed, other = append(typed, float64(t.speed)), append(other, float64(t.other()))
		default:
			right = append(right, float64(t.speed))
		}
		read++
	}
	pace, whole := usual, false
	switch {
	case len(typed) > 0:
		mean := Speed(SampleOf(other).Mean)
		pace = cmp.Or(usual, mean)
		whole = looksOther(Speed(SampleOf(typed).Mean), mean, unit, usual)
	case pace == 0:
		pace = Speed(SampleOf(right).Mean)
	}
	if pace == 0 {
		return
	}
	var asked []*throw
	var example *throw
	for _, t := range thrown {
		if !t.counts() || t.reading.Unit != unit || !t.nearerInOther(pace) {
			continue
		}
		if !whole && !(t.isFull() && looksOther(t.speed, t.other(), unit, usual)) && !(len(typed) == 0 && t.isNoSlower(pace)) {
			continue
		}
		asked = append(asked, t)
		if example == nil || t.isFull() && !example.isFull() {
			example = t
		}
	}
	for _, t := range asked {
		meant := t.reading.InOther()
		out[t.place] = Question{Sentence: otherSentence(example.reading, len(asked), read), Meant: &meant}
	}
}

// isNoSlower says whether the throw, a slower pitch, can't be one of a pitcher of that
// pace: it lies far over her full pitch, or further under it than a slower pitch does.
func (t *throw) isNoSlower(pace Speed) bool {
	return t.in.drill == "" && (t.speed > slowerOver*pace || t.speed < slowerUnder*pace)
}

func otherSentence(r Reading, asked, read int) string {
	other := r.InOther()
	is := fmt.Sprintf("%s is %s %s. Is the gun set to %s?", other, decimal(other.Speed().In(r.Unit), r.Step), r.Unit, other.Unit)
	switch {
	case asked == 1:
		return fmt.Sprintf("Sure about %s? It looks like %s: %s", r, other.Unit, is)
	case asked == read:
		return fmt.Sprintf("All %d look like %s: %s", asked, other.Unit, is)
	}
	return fmt.Sprintf("%d of %d readings look like %s: %s", asked, read, other.Unit, is)
}

// looksOther says whether a speed of the full pitch, typed in unit, rather is the other
// number: the same read in the other unit.
func looksOther(typed, other Speed, unit Unit, usual Speed) bool {
	if usual > 0 {
		return off(typed, usual) > otherFar && off(other, usual) <= otherNear
	}
	return unit == MPH && typed > noPitcher && other >= somePitcher && other <= noPitcher
}

// off is how far v lies from what is usual, as a share of it.
func off(v, usual Speed) float64 {
	return math.Abs(float64(v/usual) - 1)
}

// isFull says whether the throw is a full pitch that is not meant to be slower.
func (t *throw) isFull() bool { return t.in.drill == "" && !isSlower(t.pitch) }

// other is the speed if the reading was in the other unit.
func (t *throw) other() Speed { return t.reading.InOther().Speed() }

// nearerInOther says whether the reading comes nearer, as a ratio, to what a pitcher of
// that pace throws when it is read in the other unit.
func (t *throw) nearerInOther(pace Speed) bool {
	if !t.isFull() {
		pace *= slowerThanUsual
	}
	// |ln typed/pace| > |ln other/pace|, for positive numbers.
	return max(t.speed/pace, pace/t.speed) > max(t.other()/pace, pace/t.other())
}
