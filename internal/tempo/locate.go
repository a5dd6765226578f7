package tempo

import (
	"math"

	"tenoff/internal/peak"
)

// bands are the parts of the body's box that tell an instant, and the hips that carry
// the arm's circle along, as indices into the template's cells.
type bands struct{ legs, feet, top, arm, hips []int }

// Shares of the box's height (0 at the top) between which the bands lie.
const (
	legsFrom = 0.68 // below the hand at the bottom of its circle
	feetFrom = 0.78
	topTo    = 0.30
	armTo    = 0.60
	hipsFrom = 0.50
	hipsTo   = 0.75
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
	return bands{
		legs: pick(legsFrom, 1.01), feet: pick(feetFrom, 1.01), hips: pick(hipsFrom, hipsTo),
		top: pick(0, topTo), arm: pick(0, armTo),
	}
}

const (
	locateRate  = 240.0 // patch samples per second
	locateReach = 0.10  // seconds searched to either side
	// releaseSearch is that of the release: the guess is one of it, and a pattern that a
	// late arm and a braked finish have changed is else found in the follow-through.
	releaseSearch = 0.06
	locateStep    = 0.004
	ownReach      = 0.20 // how far legs and arm may stretch apart from the whole, log
)

// How far the body may stand aside of where the fastballs had it, in cells. A
// shorter stride puts the foot where the fastballs had it a moment earlier: looked
// for in time alone it reads as late.
const (
	asideMost = 2.0
	asideStep = 0.5
)

// reach is how far an instant's patch goes, in seconds of a mean fastball.
type reach struct{ before, after float64 }

// The patches are one-sided where what follows keeps another time: after the plant
// the legs wait for the arm, and a braked finish must not move the release.
var (
	driveReach   = reach{0.14, 0.10}
	plantReach   = reach{0.08, 0.02}
	topReach     = reach{0.08, 0.04}
	releaseReach = reach{0.06, 0.03}
)

// place is one instant's patch and where in the template it belongs.
type place struct {
	u      float64
	search float64 // seconds to either side
	// patches show the body ever further to the right, asideStep apart; the middle
	// one where the fastballs had it.
	patches []patch
}

// finder holds the places of the four instants, and where the hips stand meanwhile.
type finder struct {
	ref                        Instants
	hips                       track
	drive, plant, top, release place
}

// finderOf cuts the instants' patches out of the template. The top is not looked for
// aside: the hand passes over there, and its place is its time.
func finderOf(t template, b bands, ref Instants) finder {
	var aside []template
	for dx := -asideMost; dx <= asideMost; dx += asideStep {
		aside = append(aside, t.moved(dx))
	}
	cut := func(u float64, s reach, keep []int, from []template) place {
		pl := place{u: u, search: locateReach}
		for _, t := range from {
			pl.patches = append(pl.patches, t.patch(u-s.before, u+s.after, locateRate, keep))
		}
		return pl
	}
	release := cut(ref.Release, releaseReach, b.arm, aside)
	release.search = releaseSearch
	return finder{
		ref:     ref,
		hips:    trackOf(t, b.hips),
		drive:   cut(ref.Drive, driveReach, b.legs, aside),
		plant:   cut(ref.Plant, plantReach, b.feet, aside),
		top:     cut(ref.Top, topReach, b.top, []template{t}),
		release: release,
	}
}

// locate finds the four instants in one rep. Legs and arm begin with the whole
// delivery's stretch and get their own from what the first passes found: the legs
// another pace after the plant than before it, and the arm a circle that the body has
// carried as far as the legs' time says, not the arm's.
func (fi finder) locate(w window, f fit) Transferred {
	out := Transferred{Stretch: f.L, Match: f.Match}
	legs, arm := even(math.Exp(f.L)), even(math.Exp(f.L))
	topLay, releaseLay := fi.top.laid(arm), fi.release.laid(arm)
	near := func(pace float64) float64 {
		return math.Exp(math.Min(math.Max(math.Log(pace), f.L-ownReach), f.L+ownReach))
	}
	for pass := range 3 {
		out.Drive = fi.drive.find(w, f, fi.drive.laid(legs))
		out.Plant = fi.plant.find(w, f, fi.plant.laid(legs))
		out.Top = fi.top.find(w, f, topLay)
		out.Release = fi.release.find(w, f, releaseLay)
		if pass == 2 {
			break
		}
		if pace := near(span(out.Top.Seconds, out.Release.Seconds) / fi.ref.Arm()); pace > 0 {
			arm = even(pace)
		}
		topLay, releaseLay = fi.top.laid(arm), fi.release.laid(arm)
		wait := span(out.Plant.Seconds, out.Release.Seconds)
		stride := near(span(out.Drive.Seconds, out.Plant.Seconds) / fi.ref.Legs())
		after := wait / span(fi.ref.Plant, fi.ref.Release)
		if !(stride > 0 && after > 0) { // out of order: nothing to go by
			continue
		}
		legs = bent(fi.ref, stride, after)
		for _, at := range []struct {
			place
			*lay
		}{{fi.top, &topLay}, {fi.release, &releaseLay}} {
			for _, dx := range fi.hips.carried(at.times(), arm, legs, fi.ref.Release, wait) {
				at.aside = append(at.aside, asideOf(at.patches[0].list, w.cols, dx))
			}
		}
	}
	return out
}

// times are the template times of the patches' samples.
func (pl place) times() []float64 { return pl.patches[0].u }

// laid lays the patches round their instant as the warp says.
func (pl place) laid(w timeMap) lay { return w.lay(pl.times(), pl.u) }

// find slides the patches, as they are laid, round where the whole delivery's fit puts
// them: every second step with each of them, then uphill step by step, and a
// paraboloid through the best nine.
func (pl place) find(w window, f fit, l lay) Found {
	middle := f.at(w.guess, pl.u)
	n := int(math.Round(pl.search / locateStep))
	steps, match, inside := peak.Climb(2*n+1, len(pl.patches), func(i, j int) float64 {
		return pl.patches[j].match(w, middle+float64(i-n)*locateStep, l)
	})
	return Found{Seconds: middle + locateStep*steps, Match: match, Sure: inside && match >= leastMatch}
}
