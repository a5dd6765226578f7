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
	Reps   []RepBody `json:"reps"`   // one for each rep given, in the same order
	Checks []Check   `json:"checks"` // one for each pitch but the baseline, in order of their first rep; in a drill only beside the baseline pitch of that drill
	// EyeMillis is the spread of marking by hand that was reckoned with, ms;
	// EyeKnown is false where that is an assumption.
	EyeMillis float64 `json:"eyeMillis"`
	EyeKnown  bool    `json:"eyeKnown"`
}

// RepAt is Rep for the rep at index i of those assessed: 5,000 of them are gone through once.
func (a Assessment) RepAt(i int, id string) (RepBody, bool) {
	if i < len(a.Reps) && a.Reps[i].RepID == id {
		return a.Reps[i], true
	}
	return a.Rep(id)
}

// Rep returns the pace of the rep with the given ID.
func (a Assessment) Rep(id string) (RepBody, bool) {
	for _, r := range a.Reps {
		if r.RepID == id {
			return r, true
		}
	}
	return RepBody{}, false
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

// RepBody is what is known of one rep's body. Nil is not known, or compared with
// nothing: fewer than three fastballs of the same drill from the same view, or a
// warm-up.
type RepBody struct {
	RepID       string     `json:"repId"`
	LegsSeconds *float64   `json:"legsSeconds,omitempty"` // drive to plant
	ArmSeconds  *float64   `json:"armSeconds,omitempty"`  // top to release
	LegsFrom    Source     `json:"legsFrom,omitempty"`
	ArmFrom     Source     `json:"armFrom,omitempty"`
	Legs        *BodySpeed `json:"legs,omitempty"` // body speed
	Arm         *BodySpeed `json:"arm,omitempty"`  // arm speed
	// Verdict is SlowedBody or SlowedArm where this rep by itself is shown to be slower than
	// her own fastballs, among all reps of the bullpen; "" where that is not shown.
	Verdict Verdict `json:"verdict,omitempty"`
	// Told is what the check of its pitch comes to for this rep: its own Verdict, or else
	// what is said of the pitch's others together. "" for a rep that no check is about.
	Told Verdict `json:"told,omitempty"`
	// Words is a short line for a caption: "legs at 97 % of her fastball's speed", "legs at
	// 86 % of her fastball's speed: slowed"; "" where Legs is nil.
	Words string `json:"words,omitempty"`
	// Short is the same in a table: "legs 97 %", "legs 86 %: slowed", "legs 97 %, arm 84 %:
	// slowed".
	Short string `json:"short,omitempty"`
	// Pending says in one sentence why Legs is nil, and what to do.
	Pending string  `json:"pending,omitempty"`
	Moments Moments `json:"moments"`
}

// counted is a rep with its times.
type counted struct {
	RepTiming
	place     float64 // in the order thrown
	drill     string  // as bullpen.DrillKey gives it
	fast      bool
	moments   Moments
	legs, arm timed
}

// from is what reps must share to be compared.
type from struct {
	view  bullpen.View
	drill string
}

func (c counted) from() from { return from{c.View, c.drill} }

func (c counted) lap(t timed) lapTime {
	return lapTime{place: c.place, log: math.Log(t.seconds), u: t.u / t.seconds, match: t.match, found: t.source == ByFinder}
}

// owns are the fastballs of one drill seen from one side.
type owns struct{ legs, arm herFastballs }

// ownsOf gathers the pitcher's own fastballs, and where each stands among the legs' and
// the arm's laps.
func ownsOf(all []counted) (by map[from]owns, legsAt, armAt map[int]int) {
	legs, arm := map[from][]lapTime{}, map[from][]lapTime{}
	legsAt, armAt = map[int]int{}, map[int]int{}
	for i, c := range all {
		if !c.fast {
			continue
		}
		at := c.from()
		if c.legs.known() {
			legsAt[i] = len(legs[at])
			legs[at] = append(legs[at], c.lap(c.legs))
		}
		if c.arm.known() {
			armAt[i] = len(arm[at])
			arm[at] = append(arm[at], c.lap(c.arm))
		}
	}
	by = map[from]owns{}
	for at, laps := range legs {
		o := by[at]
		o.legs = ownOf(laps)
		by[at] = o
	}
	for at, laps := range arm {
		o := by[at]
		o.arm = ownOf(laps)
		by[at] = o
	}
	return by, legsAt, armAt
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
	a := Assessment{Reps: make([]RepBody, len(reps)), Checks: []Check{}, EyeKnown: o.Eye > 0}
	eye := EyeSpread
	if a.EyeKnown {
		eye = o.Eye
	}
	a.EyeMillis = 1000 * eye
	all := make([]counted, len(reps))
	hasFast := map[string]bool{"": true}
	for i, r := range reps {
		c := counted{RepTiming: r, place: float64(r.Order), drill: bullpen.DrillKey(r.Drill), fast: r.Full && r.Pitch == o.Baseline}
		c.moments, c.legs, c.arm = r.times(eye)
		all[i] = c
		if c.fast {
			hasFast[c.drill] = true
		}
	}
	by, legsAt, armAt := ownsOf(all)
	slowed := named(all, by, o.Margins)
	for i, c := range all {
		p := RepBody{RepID: c.RepID, Moments: c.moments, Verdict: slowed[i]}
		if c.legs.known() {
			p.LegsSeconds, p.LegsFrom = &all[i].legs.seconds, c.legs.source
			p.Legs = c.pace(by[c.from()].legs, c.legs, legsAt, i)
		}
		if c.arm.known() {
			p.ArmSeconds, p.ArmFrom = &all[i].arm.seconds, c.arm.source
			p.Arm = c.pace(by[c.from()].arm, c.arm, armAt, i)
		}
		p.say(c, nameOf(o.Baseline))
		a.Reps[i] = p
	}
	seen := map[Subject]bool{}
	for _, c := range all {
		if s := c.subject(); c.Full && !c.fast && !seen[s] && hasFast[c.drill] {
			seen[s] = true
			check := checkOf(all, by, slowed, s, o)
			check.Softest = softest(all, a.Reps, s, check.PitchName, nameOf(o.Baseline), o.Thrown)
			a.Checks = append(a.Checks, check)
		}
	}
	for i, c := range all {
		if check, ok := a.Check(c.subject()); ok && c.Full && !c.fast && a.Reps[i].Legs != nil {
			a.Reps[i].Told = check.of(a.Reps[i], c.View)
		}
	}
	return a
}

// of is what the check comes to for one of its reps, which was filmed from the view.
func (c Check) of(p RepBody, from bullpen.View) Verdict {
	switch {
	case p.Verdict != "":
		return p.Verdict
	case from != c.View:
		return CantTell
	case c.partial && c.Others == "":
		return CantTell
	case c.partial:
		return c.Others
	}
	return c.Verdict
}

// pace compares rep i with the fastballs; fastAt says where among them it stands itself.
func (c counted) pace(o herFastballs, t timed, fastAt map[int]int, i int) *BodySpeed {
	switch {
	case !c.Full:
		return nil
	case c.fast:
		return o.paceAmong(fastAt[i])
	}
	return o.paceOf(c.lap(t))
}

func (c counted) subject() Subject { return Subject{c.Pitch, c.drill} }

// checkOf judges one pitch, in the view from which it can be judged best.
func checkOf(all []counted, by map[from]owns, slowed []Verdict, s Subject, o Options) Check {
	var best Check
	most := -1
	var views []bullpen.View
	for _, c := range all {
		if c.Full && c.subject() == s && !slices.Contains(views, c.View) {
			views = append(views, c.View)
		}
	}
	for _, v := range views {
		c := sidesFrom(all, slowed, s, v).check(by[from{v, s.Drill}], v, o)
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
	if g, ok := o.Gaps[s]; ok && best.Verdict != CantTell && g.Baseline > 0 && !math.IsInf(best.legs.U, 1) {
		split := Divide(g, best.legs)
		best.Split = &split
	}
	best.Pitch, best.Drill = s.Pitch, spelt(all, s)
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

// sides are the reps of one pitch and drill seen from one side: all that were timed, and
// those of them that are not named by themselves.
type sides struct {
	legs, arm         []lapTime
	restLegs, restArm []lapTime
	slowed, slowedArm []int // orders of the reps that are named, wherever they were filmed from
	// thrownFast and thrownOff count the reps on film, with and without a time.
	thrownFast, thrownOff int
}

func sidesFrom(all []counted, slowed []Verdict, s Subject, view bullpen.View) sides {
	var out sides
	for i, c := range all {
		if !c.Full || c.drill != s.Drill || (!c.fast && c.Pitch != s.Pitch) {
			continue
		}
		switch slowed[i] {
		case SlowedBody:
			out.slowed = append(out.slowed, c.Order)
		case SlowedArm:
			out.slowedArm = append(out.slowedArm, c.Order)
		}
		if c.View != view {
			continue
		}
		if c.Filmed || c.legs.known() {
			if c.fast {
				out.thrownFast++
			} else {
				out.thrownOff++
			}
		}
		if c.fast {
			continue
		}
		if c.legs.known() {
			out.legs = append(out.legs, c.lap(c.legs))
			if slowed[i] == "" {
				out.restLegs = append(out.restLegs, c.lap(c.legs))
			}
		}
		if c.arm.known() {
			out.arm = append(out.arm, c.lap(c.arm))
			if slowed[i] == "" {
				out.restArm = append(out.restArm, c.lap(c.arm))
			}
		}
	}
	return out
}

// check judges them: the reps that are named by themselves first, then what the others
// are together. A pitch some of whose reps slowed down is never averaged.
func (s sides) check(o owns, view bullpen.View, opt Options) Check {
	c := s.judge(o, s.legs, s.arm, BiasOf(view), opt.Margins)
	if view == bullpen.ViewUnknown && c.Reason == TooFewReps &&
		s.judge(o, s.legs, s.arm, BiasOf(bullpen.ViewSide), opt.Margins).Verdict != CantTell {
		c.Reason, c.MoreFast, c.MoreOff = ViewTooPoor, 0, 0 // a word tells it sooner than a rep
	}
	if c.Slowed, c.SlowedArms = s.slowed, s.slowedArm; len(c.Slowed)+len(c.SlowedArms) > 0 {
		rest := s.judge(o, s.restLegs, s.restArm, BiasOf(view), opt.Margins)
		switch {
		case len(s.legs) > 1 && len(s.restLegs) == 0 && len(c.SlowedArms) == 0, rest.Verdict == SlowedBody:
			// All of them, or the others too: it is the pitch that is slower, not some reps.
			c.Verdict, c.Reason, c.MoreFast, c.MoreOff = SlowedBody, Decided, 0, 0
		case c.Verdict == SlowedArm && len(c.Slowed) == 0 && (len(s.restLegs) == 0 || rest.armLook != looksEven):
			// Likewise of the arm, where the others' looks slower too.
		default:
			c.part(rest, len(s.restLegs))
		}
	}
	c.View, c.fastThrown, c.offThrown = view, s.thrownFast, s.thrownOff
	c.Own = o.legs.spread()
	return c
}

func (s sides) judge(o owns, legs, arm []lapTime, bias Bias, m Margins) Check {
	l, lok := o.legs.compare(legs, bias.Legs)
	a, aok := o.arm.compare(arm, bias.Arm)
	// Only the legs': an arm that keeps another time than the body always looks unlike.
	return NewCheck(l.laidOver(o.legs.unlike(legs)), lok, a, aok, m)
}
