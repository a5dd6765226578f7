package trace

import (
	"math"
	"slices"
)

// Between two reps she walks back to the rubber: much moves, and less than in a rep; it
// does not go the way of a delivery; it is where she pitches; it comes again and again;
// and no pop follows it as her pops follow her pitches.
const (
	walkEnergy = 0.90 // of the candidates' greatest motion, at most
	walkCourse = 0.94 // likeness to the course of a delivery, at most: deliveries have 0.95
	walkCalm   = 0.60 // of the candidates' greatest motion: so little is none of her deliveries,
	walkLike   = 0.97 // even where it is as alike as this
	walkInside = 0.60 // of what moves that is where the candidates move, or next to it
	walkLeast  = 2    // walks on a film, at least, and
	walkShare  = 0.40 // of the times between two candidates
	walkPop    = 0.45 // real seconds about the usual time of a pop
)

// walks parts bursts that no candidate covers into those of walking back to the rubber and
// all others. cells are those of the picture in which the candidates move.
func (r *coarseMotion) walks(bursts []int, cs []Candidate, m *Motion, cells []int, sound *Sound) (walks, others []int) {
	heard := slices.ContainsFunc(cs, func(c Candidate) bool { return !math.IsNaN(c.Pop) })
	if len(cs) < 2 || cells == nil || !heard { // without pops a calmer drill may look like one
		return nil, bursts
	}
	usual := make([]float64, len(cs))
	for i, c := range cs {
		at := c.Release / m.Slow
		usual[i] = slices.Max(r.energy[r.index(at-courseReach) : r.index(at+courseReach)+1])
	}
	rep := median(usual)
	near, all := r.beside(cells, m.Cols), r.tideOf(nil, 0)
	between := map[int]bool{} // by the candidate before
	for _, k := range bursts {
		at := r.second(k)
		before := -1
		for i, c := range cs {
			if c.Release < at*m.Slow {
				before = i
			}
		}
		most := walkCourse
		if r.energy[k] < walkCalm*rep {
			most = walkLike
		}
		if before < 0 || r.energy[k] > walkEnergy*rep || r.asDelivery(all, at) > most || r.inside(k, near) < walkInside ||
			popAfter(at, cs, sound, m.Slow) {
			others = append(others, k)
			continue
		}
		walks = append(walks, k)
		if before < len(cs)-1 {
			between[before] = true
		}
	}
	if len(walks) < walkLeast || float64(len(between)) < walkShare*float64(len(cs)-1) {
		return nil, bursts
	}
	return walks, others
}

// beside marks the reel's cells in which the candidates move, and those next to them.
func (r *coarseMotion) beside(cells []int, cols int) []bool {
	near := make([]bool, r.cols*r.rows)
	for _, c := range cells {
		x, y := c%cols/2, c/cols/2
		for v := max(y-1, 0); v <= min(y+1, r.rows-1); v++ {
			for u := max(x-1, 0); u <= min(x+1, r.cols-1); u++ {
				near[v*r.cols+u] = true
			}
		}
	}
	return near
}

// inside is the share of the energy about sample k that lies in the marked cells.
func (r *coarseMotion) inside(k int, near []bool) float64 {
	const reach = reelRate / 3
	var in, all float64
	for j := max(k-reach, 0); j <= min(k+reach, len(r.cells)-1); j++ {
		for c, v := range r.cells[j] {
			e := float64(v) * float64(v)
			all += e
			if near[c] {
				in += e
			}
		}
	}
	return in / math.Max(all, 1e-9)
}

// popAfter reports whether a pop follows real second at as pops follow the candidates.
func popAfter(at float64, cs []Candidate, sound *Sound, slow float64) bool {
	var lags, peaks []float64
	for _, c := range cs {
		if !math.IsNaN(c.Pop) {
			lags = append(lags, (c.Pop-c.Release)/slow)
			k, _ := sound.between(c.Pop, c.Pop+1e-6)
			peaks = append(peaks, float64(sound.Onsets[k].Peak))
		}
	}
	if len(lags) == 0 {
		return false
	}
	usual, faintest := median(lags), percentile(peaks, 0.25)
	first, last := sound.between((at+usual-walkPop)*slow, (at+usual+walkPop)*slow)
	return slices.ContainsFunc(sound.Onsets[first:last], func(o Onset) bool { return float64(o.Peak) >= faintest })
}
