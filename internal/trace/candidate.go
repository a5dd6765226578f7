package trace

import (
	"cmp"
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

// Reason says what speaks for a candidate.
type Reason string

// The reasons.
const (
	MotionAndPop Reason = "motion and pop"
	MotionOnly   Reason = "motion only"
)

// Candidate is a stretch of film that looks like a rep. All times are file
// seconds from the first shown frame, at which a picture is shown, unless said.
type Candidate struct {
	From, To float64 // its span, from before the drive to after the follow-through
	Release  float64 // proposed instant of release
	// Found is where the motion puts the release once some are marked, to Spread about
	// what those marks have in common: for a marked one too, whose mark is no
	// nearer than its frame. It is when the picture was taken, see Cadence. NaN if none is
	// marked, or it was not surely found.
	Found float64
	// Spread is the standard deviation to expect of Release, in file seconds: rough
	// while no release of the film is marked.
	Spread float64
	// Likeness is how alike its motion is to the film's own pattern of a delivery,
	// -1 to 1; 0 where the film has no pattern (a single delivery).
	Likeness float64
	// Confidence is 0 to 1: how sure it is that this is a rep.
	Confidence float64
	// Sure is false for what should be asked about: "is this a rep?"
	Sure   bool
	Reason Reason
	Pop    float64 // instant of the glove's pop, NaN if none was heard
}

// Span is a stretch of film, in file seconds.
type Span struct{ From, To float64 }

// Finding is what was found in a film.
type Finding struct {
	Candidates []Candidate // in the film's order
	// Unexplained lists the stretches that move as much as a delivery and are part
	// of no candidate, so that no rep is lost without a trace.
	Unexplained []Span
	// Walks lists those of them on which she walks back to the rubber, as after her
	// other reps.
	Walks []Span
	// Box is where in the picture the deliveries move; none without any.
	Box bullpen.Box
	// Slowed is how many times slower than it was taken to the film seems to play, 1 if
	// nothing speaks for it. Above 1 nothing but what somebody marked is sure, and the
	// reps are those of a film as slow as that.
	Slowed float64
	// Beside is true where the marks of other films say where the releases are.
	Beside bool
	// TooShort is true for a film on which too little is to tell a rep.
	TooShort bool
}

// The gates of a candidate, by its likeness to the film's other deliveries.
const (
	sureLikeness = 0.75
	askLikeness  = 0.55
	spanBefore   = 1.20 // real seconds of a candidate's span before the release
	spanAfter    = 0.60
	// Deliveries come out of stillness: the model's greatest energy is so many times
	// that of its beginning and end. Walkers reach 2.
	stillContrast = 3.0
	mimeLeast     = 5   // sure candidates, and
	mimeShare     = 0.8 // the share of them with a pop, that make one without doubtful
)

// Find looks for reps. sound is nil for a film without sound. It is never an
// error to find nothing.
//
// A film is its own teacher: the bursts of motion that resemble one another make
// a pattern, the pattern is looked for in the whole film at several tempos, and
// each place is then laid over the mean of the others cell by cell. What a
// pitcher does between reps recurs too, and so may a second pitcher; the most
// vigorous pattern out of stillness, in the middle of the picture, is the delivery.
// A film with a single delivery has no pattern; there the burst that stands out
// most is proposed.
func Find(motion *Motion, sound *Sound) Finding {
	return FindBeside(Film{Motion: motion, Sound: sound}, nil)
}

// Transfer finds the film's reps like Find, but from releases that somebody
// marked on some of them (file seconds, at least one): the marks say which motion
// is the delivery, and the pattern of motion just before them is found again in
// every other rep. A marked rep's candidate has the mark as its release.
func Transfer(motion *Motion, sound *Sound, marked []float64) Finding {
	return FindBeside(Film{Motion: motion, Sound: sound, Marked: marked}, nil)
}

func find(motion *Motion, sound *Sound, marked []float64) Finding {
	r := newReel(motion)
	slowed := 1.0
	if !motion.Said {
		slowed = usualSlow(r.slowness(), motion)
	}
	if slowed == 1 {
		f := r.look(motion, sound, marked)
		f.Slowed = 1
		return trimmedToOnePitch(motion, sound, f)
	}
	slower := *motion
	slower.Slow *= slowed
	f := newReel(&slower).look(&slower, sound, marked)
	f.Slowed = slowed
	for i := range f.Candidates {
		if c := &f.Candidates[i]; !slices.Contains(marked, c.Release) {
			c.doubt()
		}
	}
	return f
}

// look finds the reps of a film that plays as slow as it is taken to.
func (r *coarseMotion) look(motion *Motion, sound *Sound, marked []float64) Finding {
	bursts := r.bursts()
	real := make([]float64, len(marked))
	for i, t := range marked {
		real[i] = t / motion.Slow
	}
	f := Finding{}
	var cells []int // in which the candidates move
	small := false
	places := r.deliveries(bursts, real, soundtrack{sound, motion.Slow})
	if len(places) > 0 {
		s := newStudy(motion, places)
		f.Candidates = s.candidates(sound, real)
		if len(f.Candidates) > 0 {
			f.Box = s.model.box(motion.Rows)
		}
		cells, small = s.model.cells, s.model.small()
	}
	if one, ok := r.mostLikeADelivery(r.uncovered(bursts, f.Candidates, motion.Slow)); ok && len(real) == 0 && r.beatsPattern(one, places, f.Candidates) {
		for i := range f.Candidates {
			f.Candidates[i].doubt()
		}
		c, box := r.single(motion, sound, one, bursts)
		f.Candidates, f.Box = append(f.Candidates, c), box
		slices.SortFunc(f.Candidates, func(a, b Candidate) int { return cmp.Compare(a.Release, b.Release) })
	} else if len(real) == 0 {
		r.doubtUnlikeDeliveries(f.Candidates, motion, cells, sound)
	}
	if small && len(real) == 0 {
		doubtSmallBody(f.Candidates, motion.Slow)
	}
	for i := range f.Candidates {
		c := &f.Candidates[i]
		c.From, c.To = max(c.From, 0), min(c.To, motion.End)
	}
	walks, others := r.walks(r.uncovered(bursts, f.Candidates, motion.Slow), f.Candidates, motion, cells, sound)
	f.Walks, f.Unexplained = r.spans(motion, walks), r.spans(motion, others)
	return f
}

// deliveries returns the places that may be deliveries: those of the first
// pattern, or of the one that most marks lie in. A mark that no place is
// near becomes a place.
func (r *coarseMotion) deliveries(bursts []int, marked []float64, h soundtrack) []place {
	if len(r.cells) == 0 {
		return nil
	}
	var best []place
	most := -1
	for _, places := range r.patterns(bursts, h) {
		if n := len(marked) - len(strays(places, marked)); n > most {
			best, most = places, n
		}
	}
	if len(marked) == 0 {
		return best
	}
	if most == 0 { // the marks are of a motion of their own
		own := make([]place, len(marked))
		for i, t := range marked {
			own[i] = place{at: t, stretch: 1, likeness: 1}
		}
		best = r.find(r.pattern(own))
	}
	for _, t := range strays(best, marked) {
		best = append(best, place{at: t, stretch: 1, likeness: 1})
	}
	slices.SortFunc(best, func(a, b place) int { return cmp.Compare(a.at, b.at) })
	return best
}

// strays returns the marks that no place is near.
func strays(places []place, marked []float64) []float64 {
	var out []float64
	for _, t := range marked {
		if !slices.ContainsFunc(places, func(p place) bool { return math.Abs(p.at-t) < patternApart/2 }) {
			out = append(out, t)
		}
	}
	return out
}

// places returns where the pattern of the bursts recurs.
func (r *coarseMotion) places(bursts []int) []place {
	p := r.firstPattern(bursts)
	if p == nil {
		return nil
	}
	places := r.find(p)
	if len(places) < 2 {
		return nil
	}
	return r.find(r.pattern(places))
}

// candidates turns what was studied into candidates, their releases carried over
// from those marked (real seconds) if there are any.
func (s *overlay) candidates(sound *Sound, marked []float64) []Candidate {
	slow := s.motion.Slow
	releases := s.roughReleases()
	marks := s.owners(marked)
	spreads := slices.Repeat([]float64{math.NaN()}, len(releases)) // of what is surely found
	if len(marks) > 0 {
		releases, spreads = s.transfer(marks)
	}
	still := s.model.contrast() >= stillContrast
	var out []Candidate
	var popSDs []float64
	for i, like := range s.alone {
		mark, isMarked := marks[i]
		if like < askLikeness && !isMarked {
			continue
		}
		found, spread, popSD := math.NaN(), roughSD, popRough
		if !math.IsNaN(spreads[i]) {
			found, spread, popSD = releases[i]*slow, spreads[i], popSpread
		}
		if isMarked {
			releases[i], popSD = mark, popSpread
		}
		c := newCandidate(releases[i], spread, slow)
		c.Found = found
		c.Likeness = like
		c.Sure = isMarked || like >= sureLikeness && still
		out, popSDs = append(out, c), append(popSDs, popSD)
	}
	givePops(out, sound, slow, popSDs)
	return out
}

// owners returns, by index, the deliveries that marks belong to.
func (s *overlay) owners(marked []float64) map[int]float64 {
	out := map[int]float64{}
	for _, t := range marked {
		best := -1
		for i, g := range s.guesses {
			if best < 0 || math.Abs(g-t) < math.Abs(s.guesses[best]-t) {
				best = i
			}
		}
		if best >= 0 {
			out[best] = t
		}
	}
	return out
}

// givePops gives candidates their pops. Where nearly every rep has a loud one, one that
// has none is asked about: it may be a pitch that was only mimed. A net's thud, now
// heard and now not, is no such pop. spreads are those of pops, see there.
func givePops(cs []Candidate, sound *Sound, slow float64, spreads []float64) {
	releases := make([]float64, len(cs))
	for i, c := range cs {
		releases[i] = c.Release
	}
	heard, sure := 0, 0
	for i, k := range pops(sound, releases, slow, spreads) {
		if k >= 0 {
			cs[i].Pop, cs[i].Reason = sound.Onsets[k].Time, MotionAndPop
		}
		if cs[i].Sure {
			sure++
			if k >= 0 && sound.Onsets[k].Z > singleLoud {
				heard++
			}
		}
	}
	for i := range cs {
		c := &cs[i]
		if c.Reason == MotionOnly && sure >= mimeLeast && float64(heard) >= mimeShare*float64(sure) {
			c.Sure = false
		}
		c.Confidence = confidence(*c)
	}
}

// confidence is a logistic function of the likeness, a little higher with a pop,
// and no more than even for what is asked about.
func confidence(c Candidate) float64 {
	x := 14 * (c.Likeness - 0.65)
	if c.Reason == MotionAndPop {
		x++
	}
	p := 1 / (1 + math.Exp(-x))
	if !c.Sure {
		return min(p, doubtful)
	}
	return p
}

// doubtful is the most confidence in what is asked about.
const doubtful = 0.5

// doubt makes c one that is asked about.
func (c *Candidate) doubt() {
	c.Sure, c.Confidence = false, min(c.Confidence, doubtful)
}

// uncovered returns the bursts that no candidate's span covers.
func (r *coarseMotion) uncovered(bursts []int, cs []Candidate, slow float64) []int {
	return slices.DeleteFunc(slices.Clone(bursts), func(k int) bool {
		at := r.second(k) * slow
		return slices.ContainsFunc(cs, func(c Candidate) bool { return c.From <= at && at <= c.To })
	})
}

// spans returns the spans of bursts, joined where they overlap.
func (r *coarseMotion) spans(m *Motion, bursts []int) []Span {
	var out []Span
	for _, k := range bursts {
		at := r.second(k)
		s := Span{max((at-spanBefore/2)*m.Slow, 0), min((at+spanAfter)*m.Slow, m.End)}
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = s.To
			continue
		}
		out = append(out, s)
	}
	return out
}
