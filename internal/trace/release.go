package trace

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/peak"
)

// Releases are proposed from the model alone until one is marked.
const (
	// Without a mark: the hand is fast and beside the hip when it lets go, so the
	// cells at the hips have their last strong peak shortly before and go quiet
	// shortly after. The figures come from generated deliveries: rough.
	hipsFrom   = 0.33  // of the body's height, from the top
	hipsTo     = 0.62  //
	hipsBlur   = 0.025 // seconds
	hipsPeak   = 0.40  // of the hips' greatest energy
	hipsQuiet  = 0.35  // likewise
	hipsBefore = 0.050 // seconds from the peak to the release, and from there to quiet
	roughSD    = 0.030 // of such a proposal, real seconds
	smallRows  = 6     // rows of cells, a third of the picture: in fewer the hips can't be told from the arm
	smallSD    = 0.120 // of a proposal of one so small, real seconds

	// With a mark: the arm's pattern just before it is found again. One-sided, so
	// that a braked finish does not move it.
	patchBefore = 0.07
	patchAfter  = 0.04
	patchReach  = 0.10
	patchStep   = 0.004
	armReach    = 0.16 // how far the arm's stretch may be from the body's, log
	armStep     = 0.04
	armBefore   = 0.32 // seconds of the arm's longer pattern, which tells its tempo
	armShare    = 0.70 // of the body's height, from the top: the arm's cells
	foundMatch  = 0.6  // correlation below which a release was not surely found
	aroundMend  = 0.03 // seconds round the patch in which a mended frame may lead it astray
)

// FoundReleaseSD is the standard deviation to expect of a release that was carried over,
// about the mark's own error, real seconds.
const FoundReleaseSD = 0.004

// roughRelease returns the model time at which the ball probably leaves the hand.
func (m *model) roughRelease() float64 {
	hips := m.band(hipsFrom, hipsTo)
	energy := make([]float64, len(m.rows))
	for i, row := range m.rows {
		for _, k := range hips {
			energy[i] += float64(row[k] * row[k])
		}
	}
	smear(energy, hipsBlur*windowRate)
	most := slices.Max(energy)
	quiet := len(energy) - 1
	for quiet > 0 && energy[quiet] < hipsQuiet*most {
		quiet--
	}
	const reach = 4 * hipsBefore * windowRate
	for i := min(quiet, len(energy)-2); i > 0 && i > quiet-reach; i-- {
		if e := energy[i]; e >= hipsPeak*most && e >= energy[i-1] && e > energy[i+1] {
			return float64(i)/windowRate - modelBefore + hipsBefore
		}
	}
	return float64(quiet)/windowRate - modelBefore - hipsBefore
}

// small reports whether the body fills so little of the picture that a release can't be
// told on it without a mark.
func (m *model) small() bool { return m.low-m.top+1 < smallRows }

// band returns which of the model's cells lie between two shares of the body's
// height, from the top.
func (m *model) band(from, to float64) []int {
	height := float64(m.low - m.top + 1)
	var out []int
	for i, c := range m.cells {
		if y := (float64(c/m.cols-m.top) + 0.5) / height; y >= from && y < to {
			out = append(out, i)
		}
	}
	return out
}

// roughReleases proposes every delivery's release, in real seconds.
func (s *overlay) roughReleases() []float64 {
	u := s.model.roughRelease()
	out := make([]float64, len(s.fits))
	for i, f := range s.fits {
		out[i] = s.guesses[i] + f.at(u)
	}
	return out
}

// transfer finds every delivery's release from those marked, given as real seconds of
// deliveries by index: the marked ones' too, to a fraction of a frame. sure is false for
// those that were not surely found: the arm's pattern is not like that of the marked, or
// the film was mended there. None is where that is so of all the marked: where the pattern
// lies against the marks is then not known.
func (s *overlay) transfer(marked map[int]float64) (found []float64, sure []bool) {
	u := 0.0
	for i, t := range marked {
		u += s.fits[i].own(t-s.guesses[i]) / float64(len(marked))
	}
	p := s.model.patch(u-patchBefore, u+patchAfter, windowRate, s.model.band(0, armShare))
	long := s.model.patch(u-armBefore, u+patchAfter, windowRate, s.model.band(0, armShare))
	// The model is a mean, and where its pattern lies against the marks is asked
	// of the marked deliveries themselves, so that a lead or lag of the model's is
	// nobody's.
	var leads, sureLeads []float64
	found, sure = make([]float64, len(s.fits)), make([]bool, len(s.fits))
	for i, f := range s.fits {
		w := newMatcher(s.windows[i])
		bad := s.strangers(i)
		at, c, within := slide(w, p.without(bad), f, u, armTempo(w, long.without(bad), f, u))
		found[i], sure[i] = s.guesses[i]+at, within && c >= foundMatch
		if t, ok := marked[i]; ok {
			leads = append(leads, t-found[i])
			if sure[i] && !s.motion.mendedAt(t) {
				sureLeads = append(sureLeads, t-found[i])
			}
		}
	}
	known := len(sureLeads) > 0
	if known {
		leads = sureLeads
	}
	lead := stat.Mean(leads, nil)
	for i := range found {
		found[i] += lead
		sure[i] = sure[i] && known && !s.motion.mendedAt(found[i])
	}
	return found, sure
}

// mendedAt reports whether the film was mended near a release, real seconds, by what nobody
// knows, frames repeated out of step: that may lead its patch astray.
func (m *Motion) mendedAt(release float64) bool {
	from, to := release-patchBefore-aroundMend, release+patchAfter+aroundMend
	return m.outOfStep && slices.Contains(m.Doubled[m.At(from*m.Slow):m.At(to*m.Slow)+1], true)
}

// armTempo returns the log stretch at which the arm's longer pattern p fits the
// delivery best: the arm may keep another tempo than the body.
func armTempo(m *matcher, p *patch, f fit, u float64) float64 {
	best, top := f.l, math.Inf(-1)
	for l := f.l - armReach; l <= f.l+armReach+1e-9; l += armStep {
		stretch := math.Exp(l)
		for d := -patchReach; d <= patchReach; d += 2 * patchStep {
			c := m.match(p, f.at(u)+d-stretch*u, stretch)
			if c > top {
				best, top = l, c
			}
		}
	}
	return best
}

// slide finds patch p, which belongs to model time u, near where the delivery's
// fit puts it, in real seconds from its guess; l is its log stretch. within is false where
// it matches best at the edge of the search: it may lie beyond.
func slide(m *matcher, p *patch, f fit, u, l float64) (at, match float64, within bool) {
	stretch := math.Exp(l)
	middle := f.at(u)
	n := int(patchReach / patchStep)
	scores := make([]float64, 2*n+1)
	best := 0
	for i := range scores {
		at := middle + float64(i-n)*patchStep
		scores[i] = m.match(p, at-stretch*u, stretch)
		if scores[i] > scores[best] {
			best = i
		}
	}
	offset := float64(best-n) * patchStep
	if within = best > 0 && best < len(scores)-1; within {
		offset += patchStep * peak.Between(scores[best-1], scores[best], scores[best+1])
	}
	return middle + offset, scores[best], within
}
