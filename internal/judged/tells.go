package judged

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/tells"
	"tenoff/internal/tempo"
)

// Tells is what gives an off-speed pitch away before it is thrown: what of her body stands
// out against her own fastballs of the same bullpen, filmed from the same place.
type Tells struct {
	Pitch     bullpen.Pitch
	Baseline  bullpen.Pitch
	Fast, Off int // deliveries that were looked at, or that there would be

	// TooFew says why nothing is said; "" where it is.
	TooFew TooFew
	// Tells are what stands out, the earliest first; mostTells at most.
	Tells []Tell
	// Lean is how many degrees of lean would mostly have been seen, at any moment: four
	// times in five. NaN if her trunk was not seen.
	Lean float64
	// InTurn says that all of one pitch were thrown before all of the other: what changed
	// while she threw looks the same.
	InTurn bool
}

// TooFew says why a bullpen is not looked through for tells.
type TooFew string

// The reasons.
const (
	FewDeliveries TooFew = "few"   // fewer than tells.Least of one pitch
	FilmedApart   TooFew = "apart" // her fastballs are on other films than the pitch
)

// Tell is one thing that stands out.
type Tell struct {
	Aspect posture.Aspect
	View   bullpen.View // where the phone stood
	// Before is how long before release it does first, in her off-speed delivery, seconds.
	Before float64
	// When is what she does then.
	When Stage
	// Fast and Off are what it is on average where it is clearest, in its own unit.
	Fast, Off float64
	// It shows on OnOff of SeenOff off-speed deliveries, and on OnFast of SeenFast
	// fastballs: these are beyond half way from one mean to the other.
	OnOff, SeenOff, OnFast, SeenFast int
	// FastPose and OffPose are where her joints are on average at that moment.
	FastPose, OffPose [posture.Joints]posture.Spot
	// Lit are the joints at which it is to be seen.
	Lit []posture.Joint
}

// Stage is a part of a delivery.
type Stage string

// The stages. Where nobody knows the drive, all before plant is the stride.
const (
	BeforeDrive Stage = "before the drive"
	InStride    Stage = "in the stride"
	AfterPlant  Stage = "after front-foot plant"
)

// Working values of looking for tells.
const (
	// From plant to release it takes so long at least and at most, seconds; else one of the
	// two is taken for another.
	leastFromPlant, mostFromPlant = 0.03, 0.6
	// A film shows both pitches if it has so many of each. Of films that show one alone,
	// each group needs as many as deliveries, of which one of each counts: then where each
	// phone stood is part of their spread.
	leastOfEach = 2
	mostTells   = 4
)

// Tells looks for what gives each off-speed pitch away: full pitches, warm-ups and drills
// left out; of several places that films were taken from the one with most of both. The
// pitches come in the order of bullpen.PitchTypes.
func (b Bullpen) Tells(tracks Tracks) ([]Tells, error) {
	places := map[seenFrom]map[bullpen.Pitch][]moving{}
	for i, r := range b.Reps {
		if r.WarmUp || bullpen.DrillKey(r.Drill) != "" {
			continue
		}
		m, err := b.moving(i, tracks)
		if err != nil {
			return nil, err
		}
		if t := m.release - m.plant; m.body == nil || !(t >= leastFromPlant && t <= mostFromPlant) {
			continue
		}
		if places[m.from] == nil {
			places[m.from] = map[bullpen.Pitch][]moving{}
		}
		places[m.from][r.Pitch] = append(places[m.from][r.Pitch], m)
	}
	var pairs []pair
	among := 0
	for _, t := range bullpen.PitchTypes {
		if t.Code == b.Baseline() || t.Band == nil { // not an off-speed pitch
			continue
		}
		best := pair{why: FewDeliveries}
		for _, at := range inOrder(places) {
			if p := alike(places[at][b.Baseline()], places[at][t.Code]); p.better(best) {
				best = p
			}
		}
		if len(best.off) > 0 {
			best.pitch = t.Code
			pairs = append(pairs, best)
		}
		if best.why == "" {
			among++
		}
	}
	var out []Tells
	for _, p := range pairs {
		out = append(out, b.tellsOf(p, among))
	}
	return out, nil
}

// pair is the deliveries of the baseline and of another pitch that may be compared, or why
// they may not.
type pair struct {
	pitch     bullpen.Pitch
	fast, off []moving
	// within says that each film shows both.
	within bool
	why    TooFew
}

// alike returns the deliveries of two pitches that may be compared: those of films that
// show both, or one of each of as many films as there have to be deliveries.
func alike(fast, off []moving) pair {
	count := func(of []moving) map[string]int {
		n := map[string]int{}
		for _, m := range of {
			n[m.film]++
		}
		return n
	}
	nf, no := count(fast), count(off)
	shared := func(of []moving) (out []moving) {
		for _, m := range of {
			if min(nf[m.film], no[m.film]) >= leastOfEach {
				out = append(out, m)
			}
		}
		return out
	}
	// Of a film of one pitch the phone's place is part of each delivery, so that one counts.
	oneOfEach := func(of []moving) (out []moving) {
		seen := map[string]bool{}
		for _, m := range of {
			if !seen[m.film] {
				seen[m.film] = true
				out = append(out, m)
			}
		}
		return out
	}
	f, o := shared(fast), shared(off)
	switch {
	case min(len(f), len(o)) >= tells.Least:
		return pair{fast: f, off: o, within: true}
	case min(len(nf), len(no)) >= tells.Least:
		return pair{fast: oneOfEach(fast), off: oneOfEach(off)}
	case min(len(fast), len(off)) >= tells.Least:
		return pair{fast: fast, off: off, why: FilmedApart}
	}
	return pair{fast: fast, off: off, why: FewDeliveries}
}

// better reports whether one place's deliveries are to be preferred to another's.
func (p pair) better(than pair) bool {
	if (p.why == "") != (than.why == "") {
		return p.why == ""
	}
	a, z := min(len(p.fast), len(p.off)), min(len(than.fast), len(than.off))
	return a > z || a == z && len(p.fast)+len(p.off) > len(than.fast)+len(than.off)
}

// tellsOf looks for what gives a pitch away, one of so many that are looked at.
func (b Bullpen) tellsOf(p pair, among int) Tells {
	fast, off := p.fast, p.off
	out := Tells{Pitch: p.pitch, Baseline: b.Baseline(), Fast: len(fast), Off: len(off), TooFew: p.why, Lean: math.NaN()}
	if p.why != "" {
		return out
	}
	all := append(append([]moving{}, fast...), off...)
	made := tells.Origin{Among: among}
	if p.within {
		for _, m := range all {
			made.Films = append(made.Films, m.film)
		}
	}
	instants := make([]tells.Instants, len(all))
	for i, m := range all {
		before := func(x *tempo.Moment) float64 {
			r := b.Body.Reps[m.rep].Moments.Release
			if x == nil || r == nil {
				return math.NaN()
			}
			return r.Seconds - x.Seconds
		}
		moments := b.Body.Reps[m.rep].Moments
		instants[i] = tells.Instants{Drive: before(moments.Drive), Plant: m.release - m.plant, Top: before(moments.Top)}
	}
	phases := tells.Warp(instants)
	aspects, right := posture.Aspects(), b.rightHanded()
	var worth []float64
	for _, a := range aspects {
		worth = append(worth, a.Noticeable())
	}
	followed := make([]tells.Delivery, len(all))
	for i, m := range all {
		for _, a := range aspects {
			course := make([]float64, len(phases.Before))
			for s, before := range phases.Own[i] {
				course[s] = m.body.Aspect(a, m.release-before, right)
			}
			followed[i] = append(followed[i], course)
		}
	}
	found, ok := tells.Find(followed[:len(fast)], followed[len(fast):], worth, made)
	if !ok {
		out.TooFew = FewDeliveries
		return out
	}
	out.InTurn = inTurn(b, fast, off)
	for k, a := range aspects {
		if a == posture.TrunkLean {
			out.Lean = largest(found.Visible[k])
		}
	}
	for _, t := range found.Tells[:min(len(found.Tells), mostTells)] {
		x := Tell{
			Aspect: aspects[t.Measure], View: all[0].from.view, Fast: t.Fast, Off: t.Off, OnOff: t.OnOff, SeenOff: t.SeenOff, OnFast: t.OnFast, SeenFast: t.SeenFast,
			Lit: aspects[t.Measure].Joints(right), When: stageOf(phases, t.Step),
		}
		if x.Aspect == posture.TrunkLean {
			x.Lit = []posture.Joint{posture.LeftShoulder, posture.RightShoulder} // the hips stay
		}
		for i := range off {
			x.Before += phases.Own[len(fast)+i][t.Step] / float64(len(off))
		}
		x.FastPose, x.OffPose = poses(all[:len(fast)], phases.Own[:len(fast)], t.Clearest), poses(off, phases.Own[len(fast):], t.Clearest)
		out.Tells = append(out.Tells, x)
	}
	return out
}

// poses returns the mean pose of deliveries at a step, by where she stood at the first step
// that shows her.
func poses(of []moving, own [][]float64, step int) [posture.Joints]posture.Spot {
	var bodies []*posture.Body
	var when, stood []float64
	for i, m := range of {
		bodies = append(bodies, m.body)
		when = append(when, m.release-own[i][step])
		stood = append(stood, max(m.release-own[i][0], m.body.Begin))
	}
	return posture.MeanPose(bodies, when, stood)
}

func stageOf(p tells.Phases, step int) Stage {
	switch before := p.Before[step]; {
	case before <= p.Mean.Plant:
		return AfterPlant
	case before > p.Mean.Drive: // not if that is not known
		return BeforeDrive
	}
	return InStride
}

// inTurn reports whether all of one pitch were thrown before all of the other.
func inTurn(b Bullpen, fast, off []moving) bool {
	ends := func(of []moving) (first, last int) {
		first = math.MaxInt
		for _, m := range of {
			order := b.Reps[m.rep].Order
			first, last = min(first, order), max(last, order)
		}
		return first, last
	}
	f0, f1 := ends(fast)
	o0, o1 := ends(off)
	return f1 < o0 || o1 < f0
}

// largest returns the largest of values, those that are not known left out; NaN of none.
func largest(of []float64) float64 {
	out := math.NaN()
	for _, v := range of {
		if !math.IsNaN(v) && !(v <= out) {
			out = v
		}
	}
	return out
}
