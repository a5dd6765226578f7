package trace

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/align"
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
	patchBefore = 0.06
	patchAfter  = 0.03
	patchReach  = 0.20
	patchStep   = 0.004
	asideMost   = 1.0  // cells to either side that the body may stand aside of the model's
	asideStep   = 0.5  //
	armReach    = 0.16 // how far the arm's stretch may be from the body's, log
	armStep     = 0.04
	armBefore   = 0.32 // seconds of the arm's longer pattern, which tells its tempo
	armShare    = 0.60 // of the body's height, from the top: the arm's cells
	foundMatch  = 0.75 // correlation below which a release was not surely found
	ownMatch    = 0.90 // correlation of a marked one below which the pattern may be others', from another instant of theirs,
	othersMatch = 0.03 // and is that of those which are so much more like it
	aroundMend  = 0.03 // seconds round the patch in which a mended frame may lead it astray
)

// Surely is how many standard deviations hold 99 of 100.
const Surely = 2.576

// What a single release that was carried over is unsure by, on generated deliveries: so much
// where she lets go when her body says she would, as in the marked ones, and this share more
// of how much earlier or later than that; with more than mostLate it is something else that
// was found.
const (
	alikeSD   = 0.15 // of a step between samples: 2.5 ms at 60 frames a second and more, 5 at 30
	lateShare = 0.15
	mostLate  = 0.045 // real seconds
)

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
// deliveries by index: the marked ones' too, to a fraction of a frame. spread is the
// standard deviation to expect about the marks' own error, NaN of those that were not surely
// found: the arm's pattern is not like that of the marked, or is more like it than theirs is,
// or lies elsewhere in the delivery, or the film was mended there. The pattern is the mean of
// all deliveries at the marked instant: where that is a late arm's, most others' arms have
// passed by, and it is their follow-through.
// None is where that is so of all the marked: where the pattern lies against the marks is
// then not known.
func (s *overlay) transfer(marked map[int]float64) (found, spread []float64) {
	u := 0.0
	for i, t := range marked {
		u += s.fits[i].own(t-s.guesses[i]) / float64(len(marked))
	}
	arm := s.model.band(0, armShare)
	var asides []*patch
	for _, m := range s.model.asides() {
		asides = append(asides, m.patch(u-patchBefore, u+patchAfter, windowRate, arm))
	}
	long := s.model.patch(u-armBefore, u+patchAfter, windowRate, arm)
	found, spread = make([]float64, len(s.fits)), make([]float64, len(s.fits))
	late, match, sure := make([]float64, len(s.fits)), make([]float64, len(s.fits)), make([]bool, len(s.fits)) // late after the body
	own := 0.0
	for i, f := range s.fits {
		w := newMatcher(s.windows[i])
		bad := s.strangers(i)
		seen := make([]*patch, len(asides))
		for j, p := range asides {
			seen[j] = p.without(bad)
		}
		at, c, within := slide(w, seen, f, u, armTempo(w, long.without(bad), f, u))
		found[i], late[i], match[i], sure[i] = s.guesses[i]+at, at-f.at(u), c, within && c >= foundMatch
		if _, ok := marked[i]; ok {
			own = max(own, c)
		}
	}
	lead, usual, known := s.against(marked, found, late, sure)
	alike := alikeSD / (s.motion.rate() * s.motion.SlowFactor())
	for i := range found {
		found[i] += lead
		spread[i] = math.NaN()
		if off := late[i] - usual; sure[i] && known && (own >= ownMatch || match[i] <= own+othersMatch) && math.Abs(off) <= mostLate && !s.motion.mendedAt(found[i]) {
			spread[i] = math.Hypot(alike, lateShare*off)
		}
	}
	return found, spread
}

// against returns by how much the marks come later than what was found on their own
// deliveries, and how late after the body these were found: the model is a mean, and a lead
// or lag of its pattern is nobody's. known is false where none was surely found, whose lead
// stands for nothing then.
func (s *overlay) against(marked map[int]float64, found, late []float64, sure []bool) (lead, usual float64, known bool) {
	var leads, sureLeads, lates, sureLates []float64
	for i := range found {
		t, ok := marked[i]
		if !ok {
			continue
		}
		leads, lates = append(leads, t-found[i]), append(lates, late[i])
		if sure[i] && !s.motion.mendedAt(t) {
			sureLeads, sureLates = append(sureLeads, t-found[i]), append(sureLates, late[i])
		}
	}
	if known = len(sureLeads) > 0; known {
		leads, lates = sureLeads, sureLates
	}
	return stat.Mean(leads, nil), stat.Mean(lates, nil), known
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

// asides are copies of the model that show the body ever further to the right, the middle
// one where the deliveries have it.
func (m *model) asides() []*model {
	var out []*model
	picture := make([]float32, m.cols*m.tall)
	for dx := -asideMost; dx <= asideMost; dx += asideStep {
		aside := *m
		aside.rows = make([][]float32, len(m.rows))
		for i, row := range m.rows {
			for k, c := range m.cells {
				picture[c] = row[k]
			}
			aside.rows[i] = pick(align.Moved(picture, m.cols, m.tall, -dx, 0), m.cells)
		}
		out = append(out, &aside)
	}
	return out
}

// slide finds the patches, which belong to model time u and show the body ever further
// aside, near where the delivery's fit puts them, in real seconds from its guess; l is their
// log stretch. within is false where one matches best at the edge of the search: it may lie
// beyond.
func slide(m *matcher, asides []*patch, f fit, u, l float64) (at, match float64, within bool) {
	stretch := math.Exp(l)
	middle := f.at(u)
	n := int(patchReach / patchStep)
	steps, match, within := peak.Climb(2*n+1, len(asides), func(i, j int) float64 {
		return m.match(asides[j], middle+float64(i-n)*patchStep-stretch*u, stretch)
	})
	return middle + patchStep*steps, match, within
}
