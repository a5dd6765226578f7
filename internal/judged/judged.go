// Package judged is the one place that turns a bullpen, or all bullpens of a pitcher,
// into what is said of them: baseline, gaps, verdicts, the body, the chance of the next
// one and what to do, each with its sentence. Pages, clips, tables and slips read it and
// judge nothing themselves.
//
// The formulas are those of bullpen (the number), tempo (the body) and trust (weeks).
// What they need is gathered here, and only here.
package judged

import (
	"sync"

	"tenoff/internal/bullpen"
	"tenoff/internal/propose"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// Bullpens judges the bullpens of a store. It may be used from several goroutines.
type Bullpens struct {
	store *store.Store
	films *propose.Proposer // listens to them; nil: nobody does
	mu    sync.Mutex
	kept  []kept // seasons, those looked at last first

	spreads spreadsIn
	moves   movesKept
}

// New returns what judges the bullpens of s, with what films says of the ball's speed; nil
// for nothing.
func New(s *store.Store, films *propose.Proposer) *Bullpens { return &Bullpens{store: s, films: films} }

// Bullpen is one bullpen with all that follows from its readings and marks.
type Bullpen struct {
	Facts
	Sheet bullpen.Sheet    // the numbers: one RepNumbers for each rep, in the order of Reps
	Body  tempo.Assessment // the body: one RepBody for each rep, in the same order
	// Cadences says how films had been re-timed, by ID, in the seconds of their clocks as
	// they are now.
	Cadences map[string]bullpen.Cadence
}

// Of judges a bullpen by what is known of it. It does no I/O: a list of reps that no
// store has is judged by it as well.
func Of(f Facts) Bullpen { return numbersOf(f).withBody() }

func numbersOf(f Facts) Bullpen {
	b := Bullpen{Facts: f}
	b.Sheet = bullpen.Judge(f.Pitcher, f.Pen, b.plainFilms(), f.Reps)
	return b
}

func (b Bullpen) withBody() Bullpen {
	b.Cadences = store.Cadences(b.Followed, b.Films)
	b.Body = b.body()
	return b
}

func (b Bullpen) plainFilms() []bullpen.Film {
	films := make([]bullpen.Film, len(b.Films))
	for i, f := range b.Films {
		films[i] = f.Film
	}
	return films
}
