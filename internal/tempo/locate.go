package tempo

import "math"

// bands are the parts of the body's box that tell an instant, as indices into
// the template's cells.
type bands struct{ legs, top, arm []int }

// Shares of the box's height (0 at the top) at which the bands end.
const (
	legsFrom = 0.62
	topTo    = 0.30
	armTo    = 0.60
)

func bandsOf(b box, cols int, list []int) bands {
	index := make(map[int]int, len(list))
	for i, c := range list {
		index[c] = i
	}
	pick := func(from, to float64) []int {
		var out []int
		for _, c := range b.mask(cols, from, to) {
			if i, ok := index[c]; ok {
				out = append(out, i)
			}
		}
		return out
	}
	return bands{legs: pick(legsFrom, 1.01), top: pick(0, topTo), arm: pick(0, armTo)}
}

const (
	locateRate  = 240.0 // patch samples per second
	locateReach = 0.10  // seconds searched to either side
	locateStep  = 0.004
	ownReach    = 0.20 // how far legs and arm may stretch apart from the whole, log
)

// reach is how far an instant's patch goes, in seconds of a mean fastball.
type reach struct{ before, after float64 }

// The patches are one-sided where what follows keeps another time: after the plant
// the legs wait for the arm, and a braked finish must not move the release.
var (
	driveReach   = reach{0.14, 0.10}
	plantReach   = reach{0.10, 0.01}
	topReach     = reach{0.08, 0.04}
	releaseReach = reach{0.06, 0.03}
)

// place is one instant's patch and where in the template it belongs.
type place struct {
	u float64
	p patch
}

// locate finds the four instants in one rep. Legs and arm begin with the whole
// delivery's stretch and get their own from what the first passes found.
func locate(t template, b bands, ref Instants, w window, f fit) Transferred {
	cut := func(u float64, s reach, keep []int) place {
		return place{u, t.patch(u-s.before, u+s.after, locateRate, keep)}
	}
	drive := cut(ref.Drive, driveReach, b.legs)
	plant := cut(ref.Plant, plantReach, b.legs)
	top := cut(ref.Top, topReach, b.top)
	release := cut(ref.Release, releaseReach, b.arm)

	out := Transferred{Stretch: f.L, Match: f.Match}
	legs, arm := f.L, f.L
	near := func(l float64) float64 { return math.Min(math.Max(l, f.L-ownReach), f.L+ownReach) }
	for pass := range 3 {
		out.Drive = drive.find(w, f, legs)
		out.Plant = plant.find(w, f, legs)
		out.Top = top.find(w, f, arm)
		out.Release = release.find(w, f, arm)
		if pass == 2 {
			break
		}
		if d := out.Plant.Seconds - out.Drive.Seconds; d > 0 {
			legs = near(math.Log(d / (ref.Plant - ref.Drive)))
		}
		if d := out.Release.Seconds - out.Top.Seconds; d > 0 {
			arm = near(math.Log(d / (ref.Release - ref.Top)))
		}
	}
	return out
}

// find slides the patch, stretched by e^l, round where the whole delivery's fit
// puts it.
func (pl place) find(w window, f fit, l float64) Found {
	stretch := math.Exp(l)
	middle := f.at(w.guess, pl.u)
	score := func(offset float64) float64 { return pl.p.match(w, middle+offset-stretch*pl.u, stretch) }
	n := int(math.Round(locateReach / locateStep))
	scores := make([]float64, 2*n+1)
	best := 0
	for i := range scores {
		scores[i] = score(float64(i-n) * locateStep)
		if scores[i] > scores[best] {
			best = i
		}
	}
	edge := best == 0 || best == len(scores)-1
	offset := float64(best-n) * locateStep
	if !edge {
		offset += locateStep * vertex(scores[best-1], scores[best], scores[best+1])
	}
	return Found{Seconds: middle + offset, Match: scores[best], Sure: !edge && scores[best] >= leastMatch}
}
