package tempo

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// Version is the method's: what another one found is found anew.
const Version = 5

// Delivery is one rep of a film as event transfer takes it in.
type Delivery struct {
	Motion *trace.Motion // of the film it is on
	Guess  float64       // its release in real seconds of that film, right to about 30 ms
	Fast   bool          // one of the pitcher's fastballs
	// Marked are the instants that a person placed, in real seconds of the film,
	// NaN where she did not. Any rep with a mark is a reference.
	Marked Instants
}

// Found is one instant that event transfer found.
type Found struct {
	Seconds float64 // real seconds of the rep's film
	Match   float64 // correlation with the pattern round the mark, -1 to 1
	// Sure is false where the pattern was not really found: mark by hand. Seconds
	// is then only where it would be.
	Sure bool
}

// Transferred is what event transfer found in one rep.
type Transferred struct {
	Drive, Plant, Top, Release Found
	Stretch                    float64 // log of the whole delivery's stretch against the mean fastball
	Match                      float64 // correlation of the whole delivery
}

// Instants returns the instants that were surely found, NaN for the others.
func (t Transferred) Instants() Instants {
	at := func(f Found) float64 {
		if f.Sure {
			return f.Seconds
		}
		return math.NaN()
	}
	return Instants{at(t.Drive), at(t.Plant), at(t.Top), at(t.Release)}
}

// LeastFastballs is how many fastballs event transfer takes at least.
const LeastFastballs = 3

// Limits beyond which event transfer refuses, and says so.
const (
	leastMatch  = 0.60 // of an instant, and of a whole delivery
	mostDoubled = 0.25 // share of repeated frames that can't be mended
	mostZoom    = 0.05 // log of scale within one delivery
)

// Transfer finds the four instants in every rep from those marked on at least
// one fastball. All reps must show the same pitcher from the same place. The
// result has one entry per delivery. A film it can't work on is refused with a
// *bullpen.Error that says why and what to do.
//
// The pattern of motion energy round each mark is found again in every other rep
// by correlation: legs' cells for drive, feet's for plant, the top's for top, the
// arm's before the release for release, each with the rep's own time for legs and for
// arm, since one stretch for all takes a late arm for a slow body; and looked for aside
// as well, since a foot that lands elsewhere otherwise reads as one that lands at
// another time.
//
// In a film whose frames some program repeats and leaves out in a steady cadence the
// instants found are those at which the pictures were taken.
func Transfer(reps []Delivery) ([]Transferred, error) {
	reps, regular := taken(reps)
	raws, err := prepare(reps, regular)
	if err != nil {
		return nil, err
	}
	stances, mean := places(raws)
	windows := make([]window, len(raws))
	onAllCores(len(raws), func(i int) { windows[i] = raws[i].even(stances[i].DX, stances[i].DY) })
	body := bodyBox(mean, raws[0].cols, raws[0].rows)
	t, fits := learn(reps, windows, body.mask(raws[0].cols, 0, 1))
	ref, err := reference(reps, windows, fits)
	if err != nil {
		return nil, err
	}
	find := finderOf(t, bandsOf(body, raws[0].cols, t.list), ref)
	out := make([]Transferred, len(reps))
	matched := 0
	onAllCores(len(reps), func(i int) {
		out[i] = find.locate(windows[i], fits[i])
		out[i].leaveMended(raws[i])
	})
	doubtUnlikeMarks(out, reps)
	doubtUnlikeFastballs(out, reps, func(i int, u float64) float64 { return fits[i].at(windows[i].guess, u) }, ref)
	for _, f := range fits {
		if f.Match >= leastMatch {
			matched++
		}
	}
	if 2*matched < len(reps) {
		return nil, bullpen.Errorf(bullpen.Refused, "Most deliveries on this film do not look like the marked fastball: somebody stood in front, or the phone was moved; mark these reps by hand, or film from one place with nobody in front.")
	}
	return out, nil
}

// taken returns the deliveries by when their pictures were taken, and whether each one's
// film repeats its frames in step or not at all.
func taken(reps []Delivery) ([]Delivery, []bool) {
	type film struct {
		motion  *trace.Motion
		cadence trace.Cadence
	}
	out, regular := make([]Delivery, len(reps)), make([]bool, len(reps))
	known := map[*trace.Motion]film{}
	for i, r := range reps {
		f, ok := known[r.Motion]
		if !ok {
			f.motion, f.cadence = r.Motion.AsTaken()
			known[r.Motion] = f
		}
		r.Motion = f.motion
		r.Guess, r.Marked = f.cadence.Taken(r.Guess), r.Marked.taken(f.cadence.Cadence)
		out[i], regular[i] = r, f.cadence.Regular
	}
	return out, regular
}

// prepare cuts the reps' windows out and refuses what can't be worked on.
func prepare(reps []Delivery, regular []bool) ([]raw, error) {
	fast := 0
	for _, r := range reps {
		if r.Fast {
			fast++
		}
	}
	if fast < LeastFastballs {
		return nil, bullpen.Errorf(bullpen.Refused, "This film has %d fastballs; the body can be followed from %d on, so throw or mark more fastballs.", fast, LeastFastballs)
	}
	raws := make([]raw, len(reps))
	doubled, samples, zoomed := 0, 0, 0
	for i, r := range reps {
		raws[i] = cut(r.Motion, r.Guess, regular[i])
		if len(raws[i].cells) < 2 {
			return nil, bullpen.Errorf(bullpen.Refused, "The film ends too close to rep %d to follow the body; mark this rep by hand or leave it out.", i+1)
		}
		if raws[i].cols != raws[0].cols || raws[i].rows != raws[0].rows {
			return nil, bullpen.Errorf(bullpen.Refused, "These films were held differently (upright and flat); follow the body within films held the same way.")
		}
		doubled += raws[i].doubled
		samples += raws[i].samples
		if raws[i].zoom > mostZoom {
			zoomed++
		}
	}
	if float64(doubled) > mostDoubled*float64(samples) {
		return nil, bullpen.Errorf(bullpen.Refused, "Too many frames of this film are repeats (it was re-timed by some program); use the phone's original.")
	}
	if 2*zoomed > len(reps) {
		return nil, bullpen.Errorf(bullpen.Refused, "The camera zoomed during the deliveries; film without zooming, or mark these reps by hand.")
	}
	return raws, nil
}

// learn makes the template from the fastballs and lays every rep onto it. The
// fastballs' fits are centred, so that the template stands for their mean.
func learn(reps []Delivery, windows []window, list []int) (template, []fit) {
	var fast []window
	for i, r := range reps {
		if r.Fast {
			fast = append(fast, windows[i])
		}
	}
	fits := make([]fit, len(fast))
	t := meanOf(fast, fits, list)
	onAllCores(len(fast), func(i int) { fits[i] = t.fitTo(fast[i]) })
	var l, d float64
	for _, f := range fits {
		l += f.L / float64(len(fits))
		d += f.D / float64(len(fits))
	}
	for i := range fits {
		fits[i].L -= l
		fits[i].D -= d
	}
	t = meanOf(fast, fits, list)
	all := make([]fit, len(windows))
	onAllCores(len(windows), func(i int) { all[i] = t.fitTo(windows[i]) })
	return t, all
}

// reference returns the four marks in the template's time: the mean over the
// reps that carry them.
func reference(reps []Delivery, windows []window, fits []fit) (Instants, error) {
	mean := func(of func(Instants) float64) float64 {
		var sum float64
		n := 0
		for i, r := range reps {
			if t := of(r.Marked); !math.IsNaN(t) {
				sum += fits[i].own(windows[i].guess, t)
				n++
			}
		}
		return sum / float64(n) // NaN without a mark
	}
	ref := Instants{
		mean(func(i Instants) float64 { return i.Drive }),
		mean(func(i Instants) float64 { return i.Plant }),
		mean(func(i Instants) float64 { return i.Top }),
		mean(func(i Instants) float64 { return i.Release }),
	}
	if !ref.Complete() {
		return ref, bullpen.Errorf(bullpen.Invalid, "Mark drive, plant, top and release on one fastball first; the other reps are found from it.")
	}
	return ref, nil
}
