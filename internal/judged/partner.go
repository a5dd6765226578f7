package judged

import (
	"cmp"

	"tenoff/internal/bullpen"
)

// Baseline returns the pitcher's baseline pitch.
func (f Facts) Baseline() bullpen.Pitch { return cmp.Or(f.Pitcher.BaselinePitch, bullpen.Fastball) }

// Partner returns the baseline pitch to lay beside rep off: of those with a
// release mark and a reading the one nearest off's baseline, in the same drill and
// at the same gun place if there is one; without any reading the one thrown
// nearest to off.
func (b Bullpen) Partner(off bullpen.Rep) (bullpen.Rep, error) {
	pitch := b.Baseline()
	n, _ := b.Sheet.Rep(off.ID)
	var best bullpen.Rep
	var least distance
	for i, r := range b.Reps {
		if r.ID == off.ID || r.Pitch != pitch || r.FilmID == "" || r.Release == bullpen.Unmarked {
			continue
		}
		d := distance{order: abs(float64(r.Order - off.Order))}
		speed := b.Sheet.Reps[i].Speed
		d.noNumber = speed == nil || n.Baseline == nil
		if !d.noNumber {
			d.speed = abs(float64(*speed - n.Baseline.Speed))
		}
		d.other = bullpen.DrillKey(r.Drill) != bullpen.DrillKey(off.Drill) || b.gun(r) != b.gun(off)
		d.warmUp = r.WarmUp
		if best.ID == "" || d.less(least) {
			best, least = r, d
		}
	}
	if best.ID == "" {
		name := string(pitch)
		if t, ok := bullpen.TypeOf(pitch); ok {
			name = t.Name
		}
		return best, bullpen.Errorf(bullpen.Invalid, "There is no %s with a release mark to lay beside rep %d; mark one, or choose a rep.", name, off.Order)
	}
	return best, nil
}

// distance is how far a rep is from being the one to compare with.
type distance struct {
	warmUp, noNumber, other bool
	speed, order            float64
}

func (d distance) less(e distance) bool {
	for _, p := range [][2]bool{{d.warmUp, e.warmUp}, {d.noNumber, e.noNumber}, {d.other, e.other}} {
		if p[0] != p[1] {
			return p[1]
		}
	}
	if d.speed != e.speed {
		return d.speed < e.speed
	}
	return d.order < e.order
}

func (f Facts) gun(r bullpen.Rep) bullpen.GunPlace {
	if r.Reading == nil {
		return f.Pen.Gun
	}
	return f.Pen.Fill(*r.Reading).Gun
}

func abs(v float64) float64 { return max(v, -v) }
