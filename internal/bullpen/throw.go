package bullpen

import (
	"cmp"
	"slices"
	"strings"
)

// throw is a rep as the numbers see it.
type throw struct {
	rep     *Rep
	index   int // in the reps given to Judge
	place   int // in the order thrown
	pitch   Pitch
	in      group
	reading Reading // with the bullpen's defaults filled in
	speed   Speed
	read    bool     // it has a reading that can be a ball's speed
	asked   Question // what is asked about the reading
	// rounding is the variance that the display adds, mph squared.
	rounding float64
}

// counts says whether the reading is one to be compared with the others.
func (t *throw) counts() bool { return t.read && !t.rep.WarmUp }

// settled says whether it goes into baselines, means and verdicts: a reading that is
// asked about waits until it was put right, or was said to be right.
func (t *throw) settled() bool { return t.counts() && t.asked.Sentence == "" }

// throws puts reps in the order thrown, with the bullpen's defaults filled in.
func throws(pen Bullpen, reps []Rep) []*throw {
	all := make([]throw, len(reps))
	thrown := make([]*throw, len(reps))
	for i := range reps {
		r, t := &reps[i], &all[i]
		*t = throw{rep: r, index: i, pitch: r.Pitch, in: group{DrillKey(r.Drill), pen.Gun}}
		if r.Reading != nil {
			t.reading = pen.Fill(*r.Reading)
			t.in.gun = t.reading.Gun
			t.speed = t.reading.Speed()
			t.read = t.speed.possible()
			t.rounding = rounding(t.reading)
		}
		thrown[i] = t
	}
	slices.SortStableFunc(thrown, func(a, b *throw) int { return cmp.Compare(a.rep.Order, b.rep.Order) })
	for place, t := range thrown {
		t.place = place
	}
	return thrown
}

// Fill returns the reading with the bullpen's unit, step and gun place where it
// says none itself.
func (b Bullpen) Fill(r Reading) Reading {
	if r.Unit == "" {
		r.Unit = cmp.Or(b.Unit, MPH)
	}
	for _, step := range []float64{r.Step, b.Step, 1} {
		if step > 0 && step <= coarsest {
			r.Step = step
			break
		}
	}
	r.Gun = cmp.Or(r.Gun, b.Gun)
	return r
}

// coarsest is the largest step a display can have, in its unit.
const coarsest = 10

// tolerance is the half-width of the gun's tolerance, or the default if what was
// set can't be one.
func (p Pitcher) tolerance() Speed {
	if p.GunTolerance >= 0 && p.GunTolerance <= 50 {
		return p.GunTolerance
	}
	return DefaultGunTolerance
}

// DrillKey is the same for names of drills that differ in case and spaces only, and
// empty for the full pitch. Drills are compared by it everywhere.
func DrillKey(name string) string { return strings.ToLower(DrillName(name)) }

// DrillName returns a drill's name as it is stored and shown: without spaces around
// it, and one between words.
func DrillName(name string) string {
	if name == "" {
		return "" // as most are
	}
	return strings.Join(strings.Fields(name), " ")
}
