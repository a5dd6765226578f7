package demo

import (
	"math"
	"sort"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
)

const ballKind = "12 in"

// plan decides everything about a filled set of options.
func (t *Take) plan() error {
	o := t.o
	t.plate = distanceFeet * metresPerFoot
	t.slots = o.schedule()
	deliveries := make([]motion.Delivery, len(t.slots))
	for i, s := range t.slots {
		deliveries[i] = s.delivery
	}
	pitcher, handlings, err := motion.NewPitcher(motion.Thrower{Left: o.Left}, deliveries)
	if err != nil {
		return err
	}
	t.pitcher = pitcher
	for i, h := range handlings {
		t.slots[i].taken = h
	}
	last := t.slots[len(t.slots)-1].delivery.Release
	t.clock(last + o.Tail)
	t.view = o.viewpoint(newDice(o.Seed, streamView, 1))
	t.shaking = newShaking(o, t.seconds(), newDice(o.Seed, streamShake, 1))
	t.phone = t.view.eye
	if p := o.Sound.PhonePlace; p != nil {
		t.phone = motion.Vec{X: p.X, Y: p.Y, Z: t.view.eye.Z}
	}
	t.throw()
	if err := t.extras(); err != nil {
		return err
	}
	t.hearAll()
	t.tell()
	return nil
}

// clock lays the film's frames from 0 to the given second.
func (t *Take) clock(end float64) {
	p := t.o.Pace
	t.truth.Clock = bullpen.Clock{Num: 1, Den: p.TickRate, Slow: float64(t.o.Slow)}
	for i := 0; i == 0 || p.Seconds(i) <= end; i++ {
		t.truth.Clock.Ticks = append(t.truth.Clock.Ticks, p.Ticks(i)*int64(t.o.Slow))
	}
}

// seconds returns the film's real length.
func (t *Take) seconds() float64 { return t.o.Pace.Seconds(t.Frames() - 1) }

// shown returns which captured frame the film shows at index i: in a re-timed
// film one of every so many is shown twice and one later on is missing.
func (t *Take) shown(i int) int {
	n := t.o.Doubled
	if n == 0 {
		return i
	}
	if r := i % n; r >= 1 && r <= n/2 {
		return i - 1
	}
	return i
}

// captured returns the real second at which the picture of frame i was taken.
func (t *Take) captured(i int) float64 { return t.o.Pace.Seconds(t.shown(i)) }

// instant finds the frame whose picture is nearest to a second.
func (t *Take) instant(s float64) Instant {
	n := t.Frames()
	i := sort.Search(n, func(i int) bool { return t.captured(i) >= s })
	if i == n || (i > 0 && s-t.captured(i-1) < t.captured(i)-s) {
		i--
	}
	return Instant{Seconds: s, Frame: i}
}

// throw lets every ball go, and says when it comes back.
func (t *Take) throw() {
	o := t.o
	d := newDice(o.Seed, streamFlight, 1)
	for i, s := range t.slots {
		if s.mimic() {
			continue
		}
		spec := o.Reps[s.rep]
		release := s.delivery.Release
		hand := t.pitcher.Joints(release).Grip[motion.Throw]
		p := newPitch(release, hand, target(d, spec.Call, t.plate), spec.Speed)
		p.missed = spec.Missed || o.Sound.Net
		p.bucket = o.Sound.Net
		for j := i; j < len(t.slots)-1; j++ {
			if between := t.slots[j]; between.delivery.Between.Ball != motion.NoBall {
				p.caught, p.taken = between.taken.Caught, between.taken.Taken
				break
			}
		}
		if p.caught > 0 && !p.bucket {
			p.returned = max(p.caught-.8, release+p.flight+.3)
		}
		t.pitches = append(t.pitches, p)
	}
}

// tell writes down the truth.
func (t *Take) tell() {
	o := t.o
	tr := &t.truth
	tr.DistanceFeet, tr.View, tr.Hand, tr.Gun = distanceFeet, o.View, "right", bullpen.BehindPitcher
	if o.Left {
		tr.Hand = "left"
	}
	gun := newDice(o.Seed, streamGun, 1)
	var extension, glove, phone float64
	n := 0
	for _, s := range t.slots {
		release := s.delivery.Release
		if s.mimic() {
			tr.Decoys = append(tr.Decoys, Decoy{"mimic", t.instant(release)})
			continue
		}
		p, spec, timing := t.pitches[n], o.Reps[n], s.delivery.Timing
		r := RepTruth{
			RepSpec: spec,
			Drive:   t.instant(release + timing.Drive), Plant: t.instant(release + timing.Plant),
			Top: t.instant(release + timing.Top()), Release: t.instant(release),
			Metres: p.way.Metres, Flight: p.flight, LegsStretch: 1, ArmStretch: spec.Stretch,
		}
		if spec.Tempo == Body {
			r.LegsStretch = spec.Stretch
		}
		shown := float64(spec.Speed) + min(max(.25*gun.NormFloat64(), -.75), .75)
		r.Reading = bullpen.Reading{Value: math.Round(shown) + spec.Misread, Unit: bullpen.MPH, Step: 1, Gun: tr.Gun}
		if !o.Sound.Off && !p.missed {
			r.Popped = true
			r.Pop = release + p.flight + t.hears(p.to) + o.Sound.Late
		}
		tr.Reps = append(tr.Reps, r)
		extension, glove, phone = extension+p.from.X, glove+p.to.X-t.plate, phone+p.to.Sub(t.phone).Len()
		n++
	}
	k := 1 / float64(n)
	tr.ExtensionFeet, tr.GloveMetres, tr.PhoneMetres = extension*k/metresPerFoot, glove*k, phone*k
	sort.SliceStable(tr.Decoys, func(i, j int) bool { return tr.Decoys[i].Seconds < tr.Decoys[j].Seconds })
}

// hears returns how long sound takes from a place to the phone.
func (t *Take) hears(from motion.Vec) float64 { return from.Sub(t.phone).Len() / soundSpeed }
