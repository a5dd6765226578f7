package bullpen

import "tenoff/internal/evidence"

// What is known of a pitcher before her readings are looked at. Working values: a
// fastball's reps spread by 1.2 mph, an off-speed pitch's by 1.8, and over 60 reps she
// loses or gains 2 mph or so.
const (
	fastSpread, slowSpread = 1.2, 1.8 // mph, standard deviations from rep to rep
	drift                  = 2.0 / 60 // mph per rep, standard deviation of the slope
)

// lineOf gives every set its number and returns what their throws say: a level for each,
// and how she changed while she threw.
func lineOf(pen Bullpen, sets []*set) evidence.Line {
	prior := evidence.Prior{Slope: drift}
	var reps []evidence.Rep
	for i, s := range sets {
		s.number = i
		prior.Spreads = append(prior.Spreads, pen.SpreadOf(s.pitch))
		for _, t := range s.throws {
			reps = append(reps, evidence.Rep{Group: i, Place: float64(t.place), Value: float64(t.speed), Known: t.rounding})
		}
	}
	return evidence.LineOf(prior, reps)
}

// rounding returns the variance that the display's step adds to a reading, mph squared: a
// rectangle of one step's width (JCGM 100:2008, F.2.2.1).
func rounding(r Reading) float64 {
	step := float64(SpeedOf(r.Step, r.Unit))
	return step * step / 12
}

// gain returns the variance that the gun's gain adds to a gap under the baseline, mph
// squared. A gun that is right to within its tolerance may read everything by so much too
// high, which a gap doesn't show, or the faster ball by a larger share than the slower,
// which it does: a rectangle of tolerance/baseline of the gap (JCGM 100:2008, 4.3.7). With
// 1 mph at 55 it is 0.1 mph of a gap of 10.
func gain(gap, baseline, tolerance Speed) float64 {
	share := float64(gap * tolerance / baseline)
	return share * share / 3
}
