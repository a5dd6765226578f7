package demo

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/demo/motion"
	"tenoff/internal/demo/paint"
)

// extras puts the others into the picture: the catcher, a neighbour, people who
// walk past.
func (t *Take) extras() error {
	t.players = []paint.Player{{Actor: t.pitcher, Dress: paint.Pitcher()}}
	if err := t.addCatcher(); err != nil {
		return err
	}
	if err := t.addNeighbour(); err != nil {
		return err
	}
	return t.addPassers()
}

func (t *Take) addCatcher() error {
	if t.o.Sound.Net || t.o.PlainStage {
		return nil
	}
	var catches []motion.Catch
	for _, p := range t.pitches {
		catches = append(catches, motion.Catch{At: p.release + p.flight, Where: p.to, Missed: p.missed, Return: p.returned})
	}
	a, err := motion.NewCatcher(motion.Vec{X: t.plate + gloveBehind + .62}, catches)
	t.catcher = len(t.players)
	t.players = append(t.players, paint.Player{Actor: a, Dress: paint.Catcher()})
	return err
}

// addNeighbour lets a second pitcher throw on a mound of her own, out of step.
func (t *Take) addNeighbour() error {
	if !t.o.Neighbour {
		return nil
	}
	d := newDice(t.o.Seed, streamNeighbour, 1)
	var deliveries []motion.Delivery
	spec := RepSpec{}.filled()
	for at := d.between(2, 6); at < t.seconds()+3; at += d.between(5.5, 9.5) {
		deliveries = append(deliveries, motion.Delivery{
			Release: at, Timing: d.timing(spec), Style: d.style(spec), Between: motion.Between{Ball: motion.ThrownBack, Dice: d.Rand},
		})
		if at < t.seconds() {
			t.truth.Decoys = append(t.truth.Decoys, Decoy{"neighbour", t.instant(at)})
			t.otherPops = append(t.otherPops, at+d.between(.46, .58))
		}
	}
	place := motion.Vec{X: -.6, Y: 4.2}
	if t.o.View != bullpen.ViewSide {
		place = motion.Vec{X: .4, Y: 2.9}
	}
	if t.o.Left {
		place.Y = -place.Y
	}
	a, _, err := motion.NewPitcher(motion.Thrower{At: place, Size: .98, Left: t.o.Left}, deliveries)
	t.players = append(t.players, paint.Player{Actor: a, Dress: paint.Neighbour()})
	return err
}

// addPassers lets people walk through the picture, most of them behind her.
func (t *Take) addPassers() error {
	d := newDice(t.o.Seed, streamPassers, 1)
	for i := range t.o.PassersBy {
		middle := d.between(0, t.seconds())
		aside := d.between(2.2, 5)
		if d.IntN(4) == 0 {
			aside = -d.between(1.6, 2.4)
		}
		a, b := motion.Vec{X: -7, Y: aside}, motion.Vec{X: 8, Y: aside}
		if t.o.View != bullpen.ViewSide {
			x := d.between(5, 10)
			a, b = motion.Vec{X: x, Y: -9}, motion.Vec{X: x, Y: 9}
		} else if t.o.Left {
			a.Y, b.Y = -a.Y, -b.Y
		}
		if d.IntN(2) == 0 {
			a, b = b, a
		}
		half := b.Sub(a).Len() / d.between(1.1, 1.5) / 2
		actor, err := motion.NewPasser(a, b, middle-half, middle+half)
		if err != nil {
			return err
		}
		t.players = append(t.players, paint.Player{Actor: actor, Dress: paint.Stroller(i)})
		t.truth.Decoys = append(t.truth.Decoys, Decoy{"passer-by", t.instant(middle)})
	}
	return nil
}
