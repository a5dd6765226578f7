package trace

import (
	"math"
	"slices"

	"tenoff/internal/peak"
)

// course is how much moves in the course of a delivery: the square root of the energy,
// over its greatest, at every tenth of a real second from 1.5 s before the release to
// 1 s after. She stands set, rocks, drives, and half a second later all is over. The
// figures are those of generated deliveries, from all sides alike; throwing overhand
// goes the same way.
var course = [...]float64{
	.05, .05, .05, .08, .26, .30, .36, .36, .53, .55, .88, .95, .85, .90, .85, .67,
	.45, .28, .25, .28, .20, .14, .15, .13, .09, .08,
}

const (
	courseStep    = 0.1  // real seconds
	courseRelease = 15   // index of the release
	courseFrom    = 5    // what lies between these two must be on the film
	courseTo      = 20   //
	courseReach   = 0.6  // real seconds round the moment of most motion that the release may be
	courseSlowest = 1.35 // times slower or quicker that a delivery may be than the usual one
)

// movedSoFar is how much moves over time: the sums of energy up to each of a reel's samples.
type movedSoFar struct {
	start float64 // real seconds of the first sample
	upTo  []float64
}

// newTide adds up energies at reelRate.
func newTide(start float64, energy []float64) movedSoFar {
	t := movedSoFar{start: start, upTo: make([]float64, len(energy)+1)}
	for i, e := range energy {
		t.upTo[i+1] = t.upTo[i] + e
	}
	return t
}

// mean returns the mean energy between two seconds; false where none of it is filmed.
func (t movedSoFar) mean(from, to float64) (float64, bool) {
	a := max(int(math.Floor((from-t.start)*reelRate)), 0)
	b := min(int(math.Ceil((to-t.start)*reelRate))+1, len(t.upTo)-1)
	if a >= b {
		return 0, false
	}
	return (t.upTo[b] - t.upTo[a]) / float64(b-a), true
}

// course returns how alike what moves about second at is to the course of a delivery
// released then and taking times as long as usual: a correlation. It is -1 where too
// little of it is on the film.
func (t movedSoFar) course(at, times float64) float64 {
	var have [len(course)]float64
	var own, usual, n float64
	var on [len(course)]bool
	for i := range course {
		u := at + times*courseStep*float64(i-courseRelease)
		e, ok := t.mean(u-times*courseStep/2, u+times*courseStep/2)
		if !ok {
			if i >= courseFrom && i <= courseTo {
				return -1
			}
			continue
		}
		have[i], on[i] = math.Sqrt(e), true
		own, usual, n = own+have[i], usual+course[i], n+1
	}
	own, usual = own/n, usual/n
	var cross, square, norm float64
	for i, v := range course {
		if on[i] {
			cross += (have[i] - own) * (v - usual)
			square += sq(have[i] - own)
			norm += sq(v - usual)
		}
	}
	if square <= 0 {
		return 0
	}
	return cross / math.Sqrt(square*norm)
}

// courseNear is the best course of a release near second at that takes times as long
// as usual, or a little less or more.
func (t movedSoFar) courseNear(at, times, reach float64) float64 {
	best := -1.0
	for d := -reach; d <= reach+1e-9; d += courseStep / 2 {
		best = max(best, t.course(at+d*times, times))
	}
	return best
}

// asDelivery says how much what moves about second at, in all cells or in the listed
// ones of the reel, has the course of a delivery of any usual tempo.
func (r *coarseMotion) asDelivery(t movedSoFar, at float64) float64 {
	best := -1.0
	for _, times := range [...]float64{1 / courseSlowest, 0.86, 1, 1.16, courseSlowest} {
		best = max(best, t.courseNear(at, times, 0.25))
	}
	return best
}

// tideOf is the tide of the listed cells of the picture, nil for all of it.
func (r *coarseMotion) tideOf(cells []int, cols int) movedSoFar {
	if cells == nil {
		return newTide(r.start, r.moved)
	}
	seen := make([]bool, r.cols*r.rows)
	var list []int
	for _, c := range cells {
		if k := c/cols/2*r.cols + c%cols/2; !seen[k] {
			seen[k], list = true, append(list, k)
		}
	}
	energy := make([]float64, len(r.cells))
	for k, row := range r.cells {
		for _, c := range list {
			energy[k] += float64(row[c]) * float64(row[c])
		}
	}
	return newTide(r.start, energy)
}

// Slow motion that nobody declared.
const (
	slowMost   = 12.0 // times slower than declared that a film is looked at for
	slowPerOct = 4    // tempos an octave
	slowBursts = 5    // greatest bursts
	slowShare  = 0.30 // of the greatest, that count
	slowLeast  = 0.82 // likeness to the course of a delivery, at least
	slowSlack  = 0.08 // that it may be less alike than at another tempo
	slowFrom   = 1.5  // times slower: less is a slow pitcher
	// Times the motion 1 s before and 0.8 s after: who walks through the picture, dances or
	// swings on a beam comes to 9 and has a course that is much like a slow delivery's;
	// generated deliveries have 23 and more.
	slowStill = 12.0
)

// slowness returns how many times slower than declared the film seems to play, by how
// long its greatest bursts of motion last: they have the course of a delivery at the
// tempo of slow motion and not at that of life, and come out of stillness. It is 1 where
// nothing speaks for it.
//
// Of several tempos the slowest that fits counts. Within a slowed delivery step and arm
// come one by one, each much like a quick delivery; a delivery at the speed of life is
// like nothing slower.
func (r *coarseMotion) slowness() float64 {
	t := r.tideOf(nil, 0)
	length := float64(len(r.cells)) / reelRate
	var likes, stills []float64
	scale := func(i float64) float64 { return math.Exp2((i - 2) / slowPerOct) }
	for i := 0.0; scale(i) <= slowMost && 1.6*scale(i) < length; i++ {
		like, still := r.courseAt(t, scale(i))
		likes, stills = append(likes, like), append(stills, still)
	}
	if len(likes) == 0 {
		return 1
	}
	most := slices.Max(likes)
	for i := len(likes) - 1; i >= 0; i-- {
		top := (i == 0 || likes[i] >= likes[i-1]) && (i == len(likes)-1 || likes[i] >= likes[i+1])
		if !top || likes[i] < max(slowLeast, most-slowSlack) {
			continue
		}
		switch at := float64(i); {
		case scale(at) < slowFrom || stills[i] < slowStill:
			return 1
		case i == len(likes)-1:
			return scale(at)
		default:
			return scale(at + peak.Between(likes[i-1], likes[i], likes[i+1]))
		}
	}
	return 1
}

// courseAt returns how alike to the course of a delivery the film's greatest bursts
// are when it plays times slower, and how many times what moves shortly before and after
// moves in them: the medians.
func (r *coarseMotion) courseAt(t movedSoFar, times float64) (like, still float64) {
	energy := slices.Clone(r.moved)
	smear(energy, 0.15*times*reelRate)
	tops := peaks(energy, 2*times*reelRate)
	slices.SortFunc(tops, func(a, b int) int {
		if energy[a] > energy[b] {
			return -1
		}
		return 1
	})
	var likes, stills []float64
	for i, k := range tops {
		if i == slowBursts || energy[k] < slowShare*energy[tops[0]] {
			break
		}
		likes = append(likes, t.courseNear(r.second(k), times, courseReach))
		stills = append(stills, contrast(energy, k, times))
	}
	if len(likes) == 0 {
		return -1, 0
	}
	return median(likes), median(stills)
}

// usualFrom is from what share of a usual ratio on a film counts as slowed by it. That is
// less than half way from the ratio below: the slow parts of a delivery, which are most of
// it, sink under the camera's noise where a film is slowed much, and what is left of them is
// shorter. Generated films from the side, slowed 2, 4 and 8 times, seem slowed 1.9, 3.8 and
// 5.8 to 6.1 times; from other sides 1.9 to 2.0, 4.0 to 4.3 and 7.9 to 9.3.
const usualFrom = 0.65

// usualSlow returns the usual ratio that times stands for; 1 for none.
func usualSlow(times float64, m *Motion) float64 {
	if times <= 1 {
		return 1
	}
	ratios := [...]float64{8, 4, 2}
	if rate := m.rate(); rate > 23 && rate < 24.5 { // 240, 120 or 60 a second at 24
		ratios = [...]float64{10, 5, 2.5}
	}
	for _, r := range ratios {
		if times >= usualFrom*r {
			return r
		}
	}
	return ratios[len(ratios)-1]
}

// rate returns the film's samples per second of the file.
func (m *Motion) rate() float64 {
	steps := make([]float64, 0, m.Len())
	for i := 1; i < m.Len(); i++ {
		steps = append(steps, m.Times[i]-m.Times[i-1])
	}
	if len(steps) == 0 {
		return 0
	}
	return 1 / median(steps)
}
