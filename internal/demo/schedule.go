package demo

import (
	"slices"

	"tenoff/internal/demo/motion"
)

// slot is one delivery of the film: a rep, or a mimic without a ball.
type slot struct {
	rep      int // index into Options.Reps, -1 for a mimic
	delivery motion.Delivery
	taken    motion.Handling // of the ball of the next slot
}

func (s slot) mimic() bool { return s.rep < 0 }

// schedule decides when the reps and mimics are thrown.
func (o Options) schedule() []slot {
	var slots []slot
	for i := range o.Reps {
		slots = append(slots, slot{rep: i})
	}
	where := newDice(o.Seed, streamMimics, 1)
	for range o.Mimics {
		at := 1 + where.IntN(len(slots))
		slots = slices.Insert(slots, at, slot{rep: -1})
	}
	when := newDice(o.Seed, streamSchedule, 1)
	t := o.Lead
	for i := range slots {
		spec := RepSpec{}.filled()
		number := uint64(len(o.Reps) + i) // a mimic's own dice
		if !slots[i].mimic() {
			spec, number = o.Reps[slots[i].rep], uint64(slots[i].rep)
		}
		d := newDice(o.Seed, streamReps+number, o.Jitter)
		rest := o.Rest + when.between(-.8, .8)
		if o.Steady {
			rest = o.Rest
		}
		if i > 0 {
			t += max(rest, 4.5)
		}
		slots[i].delivery = motion.Delivery{
			Release: t, Timing: d.timing(spec), Style: d.style(spec),
			Between: motion.Between{
				Ball: motion.ThrownBack, Turn: o.Rest > 6 && d.IntN(2) == 0,
				Restless: o.RestlessArm && d.IntN(3) > 0, Dice: d.Rand,
			},
		}
		switch {
		case i+1 < len(slots) && slots[i+1].mimic():
			slots[i].delivery.Between.Ball = motion.NoBall
		case o.Sound.Net:
			slots[i].delivery.Between.Ball = motion.FromBucket
		}
	}
	return slots
}

// The streams of random numbers, one for each purpose: an option that uses one
// leaves the others alone.
const (
	streamSchedule uint64 = iota
	streamMimics
	streamView
	streamShake
	streamFlight
	streamGun
	streamPassers
	streamNeighbour
	streamSound
	streamPark
	streamReps uint64 = 1000
)
