package tempo

import (
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

// Options says how a bullpen is assessed. The zero value is as usual.
type Options struct {
	// Baseline is the pitcher's baseline pitch, default a fastball. Its full
	// pitches are "her fastballs".
	Baseline bullpen.Pitch
	Margins  Margins // default DefaultMargins
	// Eye is the instructor's own spread when marking, in seconds, from the
	// mark-again exercise (RemarkSpread). 0: not measured, EyeSpread is assumed.
	Eye float64
	// Gaps are the mean gaps of the pitches, for the split; a pitch without one
	// has no split.
	Gaps map[Subject]MeanGap
	// Thrown, by rep ID, is what the gun showed, for Check.Softest; a rep without is
	// left out of it.
	Thrown map[string]Thrown
	Unit   bullpen.Unit // what the split's words are in, default mph
}

// Subject is what one check is about: a pitch, in one drill.
type Subject struct {
	Pitch bullpen.Pitch
	Drill string // as bullpen.DrillKey gives it: "" is the full pitch
}

// SubjectOf returns the subject of a pitch in a drill, however the drill is typed.
func SubjectOf(p bullpen.Pitch, drill string) Subject { return Subject{p, bullpen.DrillKey(drill)} }

// MeanGap is the mean gap of a pitch under its baseline.
type MeanGap struct {
	Baseline bullpen.Speed // mph, > 0
	Gap      bullpen.Speed // mph
	U        bullpen.Speed // standard uncertainty of Gap, mph
}

// Assessment is all that a bullpen's marks and found instants tell about the body.
type Assessment struct {
	Reps   []RepPace `json:"reps"`   // one for each rep given, in the same order
	Checks []Check   `json:"checks"` // one for each pitch but the baseline, in order of their first rep; in a drill only beside the baseline pitch of that drill
	// EyeMillis is the spread of marking by hand that was reckoned with, ms;
	// EyeKnown is false where that is an assumption.
	EyeMillis float64 `json:"eyeMillis"`
	EyeKnown  bool    `json:"eyeKnown"`
}

// Rep returns the pace of the rep with the given ID.
func (a Assessment) Rep(id string) (RepPace, bool) {
	for _, r := range a.Reps {
		if r.RepID == id {
			return r, true
		}
	}
	return RepPace{}, false
}

// Check returns the check of a pitch in a drill.
func (a Assessment) Check(s Subject) (Check, bool) {
	for _, c := range a.Checks {
		if c.Subject() == s {
			return c, true
		}
	}
	return Check{}, false
}

// RepPace is what is known of one rep's body. Nil is not known, or compared with
// nothing: fewer than three fastballs of the same drill from the same view, or a
// warm-up.
type RepPace struct {
	RepID       string   `json:"repId"`
	LegsSeconds *float64 `json:"legsSeconds,omitempty"` // drive to plant
	ArmSeconds  *float64 `json:"armSeconds,omitempty"`  // top to release
	LegsFrom    Source   `json:"legsFrom,omitempty"`
	ArmFrom     Source   `json:"armFrom,omitempty"`
	Legs        *Pace    `json:"legs,omitempty"` // body speed
	Arm         *Pace    `json:"arm,omitempty"`  // arm speed
	// Words is a short line for a caption: "legs at 97 % of her fastball's speed"; "" where
	// Legs is nil.
	Words string `json:"words,omitempty"`
	// Pending says in one sentence why Legs is nil, and what to do.
	Pending string  `json:"pending,omitempty"`
	Moments Moments `json:"moments"`
}

// counted is a rep with its times.
type counted struct {
	RepTiming
	drill     string // as bullpen.DrillKey gives it
	fast      bool
	moments   Moments
	legs, arm timed
}

// Assess says of every rep how fast the body was, and of every pitch whether the
// body slowed down against the pitcher's own fastballs of the same drill. reps are
// one bullpen's. It is pure and cheap: call it whenever a mark or a reading changed.
func Assess(reps []RepTiming, o Options) Assessment {
	if o.Baseline == "" {
		o.Baseline = bullpen.Fastball
	}
	if o.Unit == "" {
		o.Unit = bullpen.MPH
	}
	if o.Margins == (Margins{}) {
		o.Margins = DefaultMargins()
	}
	a := Assessment{Reps: make([]RepPace, len(reps)), Checks: []Check{}, EyeKnown: o.Eye > 0}
	eye := EyeSpread
	if a.EyeKnown {
		eye = o.Eye
	}
	a.EyeMillis = 1000 * eye
	all := make([]counted, len(reps))
	hasFast := map[string]bool{"": true}
	for i, r := range reps {
		c := counted{RepTiming: r, drill: bullpen.DrillKey(r.Drill), fast: r.Full && r.Pitch == o.Baseline}
		c.moments, c.legs, c.arm = r.times(eye)
		all[i] = c
		if c.fast {
			hasFast[c.drill] = true
		}
	}
	for i := range all {
		a.Reps[i] = paceOfRep(all, i, nameOf(o.Baseline))
	}
	seen := map[Subject]bool{}
	for _, c := range all {
		if s := c.subject(); c.Full && !c.fast && !seen[s] && hasFast[c.drill] {
			seen[s] = true
			check := checkOf(all, s, o)
			check.Softest = softest(all, a.Reps, s, check.PitchName, nameOf(o.Baseline), o.Thrown)
			a.Checks = append(a.Checks, check)
		}
	}
	return a
}

func (c counted) subject() Subject { return Subject{c.Pitch, c.drill} }

// paceOfRep compares rep i with the fastballs of its drill seen from where it was
// seen.
func paceOfRep(all []counted, i int, fast string) RepPace {
	c := all[i]
	p := RepPace{RepID: c.RepID, Moments: c.moments}
	if c.legs.known() {
		p.LegsSeconds, p.LegsFrom = &c.legs.seconds, c.legs.source
	}
	if c.arm.known() {
		p.ArmSeconds, p.ArmFrom = &c.arm.seconds, c.arm.source
	}
	if c.Full {
		p.Legs = paceAmong(all, i, func(c counted) timed { return c.legs })
		p.Arm = paceAmong(all, i, func(c counted) timed { return c.arm })
	}
	if p.Legs != nil {
		p.Words = bodyWords(p.Legs.Percent, fast)
	} else {
		p.Pending = c.pending(fast)
	}
	return p
}

func paceAmong(all []counted, i int, of func(counted) timed) *Pace {
	t := of(all[i])
	if !t.known() {
		return nil
	}
	var others []float64
	for j, c := range all {
		if t := of(c); j != i && c.fast && c.View == all[i].View && c.drill == all[i].drill && t.known() {
			others = append(others, t.seconds)
		}
	}
	p, ok := PaceOf(t.seconds, others, t.u/t.seconds, all[i].fast)
	if !ok {
		return nil
	}
	return &p
}

// checkOf judges one pitch, in the view from which it can be judged best.
func checkOf(all []counted, s Subject, o Options) Check {
	var best Check
	most := -1
	var views []bullpen.View
	for _, c := range all {
		if c.Full && c.subject() == s && !slices.Contains(views, c.View) {
			views = append(views, c.View)
		}
	}
	for _, v := range views {
		c := checkFrom(all, s, v, o)
		// Where nothing is timed yet, from where most was filmed.
		if n := min(c.Fast, c.Off); n > most || n == most && min(c.fastThrown, c.offThrown) > min(best.fastThrown, best.offThrown) {
			best, most = c, n
		}
	}
	for _, c := range all {
		if c.Full && c.subject() == s && c.View != best.View && c.legs.known() {
			best.LeftOut++
		}
	}
	if g, ok := o.Gaps[s]; ok && best.Verdict != CantTell && g.Baseline > 0 {
		split := Divide(g, best.legs)
		best.Split = &split
	}
	best.Drill = spelt(all, s)
	best.say(o.Baseline, o.Unit)
	return best
}

// spelt returns the subject's drill as it was first typed.
func spelt(all []counted, s Subject) string {
	for _, c := range all {
		if c.subject() == s {
			return bullpen.DrillName(c.Drill)
		}
	}
	return s.Drill
}

func checkFrom(all []counted, s Subject, view bullpen.View, o Options) Check {
	var legs, arm sides
	for _, c := range all {
		if c.View != view || !c.Full || c.drill != s.Drill || (!c.fast && c.Pitch != s.Pitch) {
			continue
		}
		legs.add(c.fast, c.Filmed, c.legs)
		arm.add(c.fast, c.Filmed, c.arm)
	}
	bias := BiasOf(view)
	l, lok := Compare(legs.fast, legs.off, legs.u2(), bias.Legs)
	r, rok := Compare(arm.fast, arm.off, arm.u2(), bias.Arm)
	// Only the legs': an arm that keeps another time than the body always looks unlike.
	c := Judge(l.laidOver(legs.unlike()), lok, r, rok, o.Margins)
	c.Pitch, c.View, c.fastThrown, c.offThrown = s.Pitch, view, legs.thrownFast, legs.thrownOff
	if own, ok := SpreadOf(legs.fast, math.Sqrt(legs.u2())); ok {
		c.Own = &own
	}
	return c
}

// sides are the times of the fastballs and of the off-speed reps.
type sides struct {
	fast, off []float64
	squares   float64 // of the relative uncertainties
	// How well the found ends of the times match, summed, and of how many reps.
	matchFast, matchOff float64
	foundFast, foundOff float64
	// thrown counts the reps on film, with and without a time.
	thrownFast, thrownOff int
}

func (s *sides) add(fast, filmed bool, t timed) {
	switch {
	case !filmed && !t.known():
	case fast:
		s.thrownFast++
	default:
		s.thrownOff++
	}
	switch {
	case !t.known():
		return
	case fast:
		s.fast = append(s.fast, t.seconds)
	default:
		s.off = append(s.off, t.seconds)
	}
	s.squares += t.u * t.u / (t.seconds * t.seconds)
	switch {
	case t.source != ByFinder:
	case fast:
		s.matchFast += t.match
		s.foundFast++
	default:
		s.matchOff += t.match
		s.foundOff++
	}
}

// unlike is how much worse the off-speed reps' instants match the fastballs' motion
// than the fastballs' own do, 0 for not at all or for hand marks.
func (s *sides) unlike() float64 {
	if s.foundFast == 0 || s.foundOff == 0 {
		return 0
	}
	return math.Max(s.matchFast/s.foundFast-s.matchOff/s.foundOff, 0)
}

// u2 is the mean squared relative uncertainty of the times.
func (s *sides) u2() float64 {
	return s.squares / math.Max(float64(len(s.fast)+len(s.off)), 1)
}
