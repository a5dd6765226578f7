package trace

import (
	"math"
	"slices"
)

// Reason says what speaks for a candidate.
type Reason string

// The reasons.
const (
	MotionAndPop Reason = "motion and pop"
	MotionOnly   Reason = "motion only"
)

// Candidate is a stretch of film that looks like a rep. All times are file
// seconds from the first shown frame.
type Candidate struct {
	From, To float64 // its span, from before the drive to after the follow-through
	Release  float64 // proposed instant of release
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

	study *study
}

// The gates of a candidate, by its likeness to the film's other deliveries.
const (
	sureLikeness = 0.75
	askLikeness  = 0.55
	spanBefore   = 1.20 // real seconds of a candidate's span before the release
	spanAfter    = 0.60
)

// Find looks for reps. sound is nil for a film without sound. It is never an
// error to find nothing.
//
// A film is its own teacher: the bursts of motion that resemble one another make
// a pattern, the pattern is looked for in the whole film at several tempos, and
// each place is then laid over the mean of the others cell by cell. A film with a
// single delivery has no pattern; there the burst that stands out most is
// proposed.
func Find(motion *Motion, sound *Sound) Finding {
	r := newReel(motion)
	bursts := r.bursts()
	f := Finding{}
	if places := r.places(bursts); len(places) > 1 {
		f.study = newStudy(motion, places)
		f.Candidates = f.study.candidates(sound)
	}
	if len(f.Candidates) == 0 {
		f.study = nil
		f.Candidates = r.single(motion, sound, bursts)
	}
	f.Unexplained = r.unexplained(motion.Slow, bursts, f.Candidates)
	return f
}

// places returns where the film's own pattern recurs.
func (r *reel) places(bursts []int) []place {
	p := r.learn(bursts)
	if p == nil {
		return nil
	}
	places := r.find(p)
	if len(places) < 2 {
		return nil
	}
	return r.find(r.pattern(places))
}

// candidates turns what was studied into candidates.
func (s *study) candidates(sound *Sound) []Candidate {
	slow := s.motion.Slow
	releases := s.roughReleases()
	var out []Candidate
	for i, like := range s.alone {
		if like < askLikeness {
			continue
		}
		c := Candidate{
			Release: releases[i] * slow, Spread: roughSD * slow,
			Likeness: like, Sure: like >= sureLikeness, Reason: MotionOnly, Pop: math.NaN(),
		}
		c.From, c.To = c.Release-spanBefore*slow, c.Release+spanAfter*slow
		out = append(out, c)
	}
	hear(out, sound, slow, popRough)
	return out
}

// hear gives candidates their pops.
func hear(cs []Candidate, sound *Sound, slow, spread float64) {
	releases := make([]float64, len(cs))
	for i, c := range cs {
		releases[i] = c.Release
	}
	for i, k := range pops(sound, releases, slow, spread) {
		cs[i].Pop, cs[i].Reason = math.NaN(), MotionOnly
		if k >= 0 {
			cs[i].Pop, cs[i].Reason = sound.Onsets[k].Time, MotionAndPop
		}
		cs[i].Confidence = confidence(cs[i])
	}
}

// confidence is a logistic function of the likeness, a little higher with a pop.
func confidence(c Candidate) float64 {
	x := 14 * (c.Likeness - 0.65)
	if c.Reason == MotionAndPop {
		x += 1
	}
	return 1 / (1 + math.Exp(-x))
}

// unexplained returns the bursts that no candidate's span covers, joined.
func (r *reel) unexplained(slow float64, bursts []int, cs []Candidate) []Span {
	var out []Span
	for _, k := range bursts {
		at := r.second(k) * slow
		if slices.ContainsFunc(cs, func(c Candidate) bool { return c.From <= at && at <= c.To }) {
			continue
		}
		s := Span{at - spanBefore/2*slow, at + spanAfter*slow}
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = s.To
			continue
		}
		out = append(out, s)
	}
	return out
}

// Transfer takes releases that somebody marked on some of the film's reps and
// returns the candidates of f with all releases proposed anew from them: the
// pattern of motion just before the marked releases is found again in every
// candidate.
func Transfer(motion *Motion, sound *Sound, f Finding, marked []float64) []Candidate {
	return f.Candidates
}
