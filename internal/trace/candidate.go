package trace

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
}

// Known is a release that somebody marked, and what the gun showed.
type Known struct {
	Release float64 // file seconds
}

// Find looks for reps. sound is nil for a film without sound. It is never an
// error to find nothing.
func Find(motion *Motion, sound *Sound) Finding {
	return Finding{}
}

// Transfer takes releases that somebody marked on some of the film's reps and
// returns the candidates of f with all releases proposed anew from them: the
// pattern of motion just before the marked releases is found again in every
// candidate.
func Transfer(motion *Motion, sound *Sound, f Finding, marked []float64) []Candidate {
	return f.Candidates
}
