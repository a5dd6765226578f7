package trust

import (
	"fmt"

	"tenoff/internal/bullpen"
)

// Kind is what a line of a rule asks.
type Kind string

// The kinds. To add one, add a constant, its words in Line.String and Check, and
// its answer in lines.
const (
	InBand   Kind = "in the band" // Need of the last full set of Of judged reps lie in the band
	Strikes  Kind = "strikes"     // Need per cent of the last full set of Of called reps are strikes; Of 0: of all
	Bullpens Kind = "bullpens"    // thrown in Need bullpens
	Spread   Kind = "spread"      // the last full set of Of gaps spreads by Need mph (SD) at most
	// SameBody: the same body in Need of the last full set of Of bullpens whose film tells,
	// and SameReps in Need of the last full set of Of reps. What can't be told counts
	// neither way.
	SameBody Kind = "same body"
	SameReps Kind = "same body in reps"
)

// Line is one line of a rule.
type Line struct {
	Kind Kind    `json:"kind"`
	Need float64 `json:"need"`
	Of   int     `json:"of,omitempty"`
}

// Rule says when the instructor trusts a pitch in a game: when every line is met.
type Rule struct {
	Pitch bullpen.Pitch `json:"pitch"`
	Lines []Line        `json:"lines"`
}

// String returns the line as an instructor says it.
func (l Line) String() string {
	switch l.Kind {
	case InBand:
		return fmt.Sprintf("%v of %s in the band", l.Need, l.last())
	case Strikes:
		if l.Of == 0 {
			return fmt.Sprintf("%v %% strikes", l.Need)
		}
		return fmt.Sprintf("%v %% strikes in the last %d", l.Need, l.Of)
	case Bullpens:
		return fmt.Sprintf("thrown in %v bullpens", l.Need)
	case Spread:
		if l.Of == 0 {
			return fmt.Sprintf("all gaps spread by %v mph at most", l.Need)
		}
		return fmt.Sprintf("the last %d gaps spread by %v mph at most", l.Of, l.Need)
	case SameBody:
		return fmt.Sprintf("same body in %v of %s bullpens that tell", l.Need, l.last())
	case SameReps:
		return fmt.Sprintf("same body in %v of %s that tell", l.Need, l.last())
	}
	return string(l.Kind)
}

// last says of how many the line asks: "the last 10", or "all".
func (l Line) last() string {
	if l.Of == 0 {
		return "all"
	}
	return fmt.Sprintf("the last %d", l.Of)
}

// Check returns an *bullpen.Error of code Invalid that says what is wrong with the
// rule, or nil.
func (r Rule) Check() error {
	if len(r.Lines) == 0 {
		return bullpen.Errorf(bullpen.Invalid, "A rule needs a line at least.")
	}
	if _, ok := bullpen.TypeOf(r.Pitch); !ok {
		return bullpen.Errorf(bullpen.Invalid, "The rule is for the pitch %q, which there is not.", r.Pitch)
	}
	for i, l := range r.Lines {
		if !l.possible() {
			return bullpen.Errorf(bullpen.Invalid, "Line %d of the rule, %q, can't be met: change its numbers.", i+1, l)
		}
	}
	return nil
}

// possible says whether the line asks something that can be.
func (l Line) possible() bool {
	const most = 1000
	whole := l.Need == float64(int(l.Need))
	switch l.Kind {
	case InBand, SameBody, SameReps:
		return whole && l.Need >= 1 && l.Of <= most && l.Need <= float64(l.Of)
	case Strikes:
		return l.Need > 0 && l.Need <= 100 && l.Of >= 0 && l.Of <= most
	case Bullpens:
		return whole && l.Need >= 1 && l.Need <= most
	case Spread:
		return l.Need > 0 && l.Need <= 50 && l.Of >= 3 && l.Of <= most
	}
	return false
}

// Answer is a rule held against what was thrown.
type Answer struct {
	Pitch   bullpen.Pitch `json:"pitch"`
	Trusted bool          `json:"trusted"` // every line is met
	Lines   []LineAnswer  `json:"lines"`
}

// LineAnswer is one line held against what was thrown, with the reps that made or
// broke it; for Bullpens and SameBody the bullpens.
type LineAnswer struct {
	Line  Line     `json:"line"`
	Text  string   `json:"text"` // the line in words
	Met   bool     `json:"met"`
	Have  string   `json:"have"`  // what there is, in words
	Made  []string `json:"made"`  // IDs of the reps or bullpens that count for it, in the order thrown
	Broke []string `json:"broke"` // and against it
}

// Evaluate holds the rule against the bullpens.
func Evaluate(r Rule, weeks []Week) Answer {
	a := Answer{Pitch: r.Pitch, Trusted: len(r.Lines) > 0, Lines: []LineAnswer{}}
	h := historyOf(r.Pitch, weeks)
	for _, l := range r.Lines {
		line := h.answer(l)
		a.Trusted = a.Trusted && line.Met
		a.Lines = append(a.Lines, line)
	}
	return a
}
