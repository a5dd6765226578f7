package field

import (
	"context"
	"encoding/json"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/rhythm"
	"tenoff/internal/store"
)

// Fate is what becomes of an entry when somebody says yes.
type Fate string

// The fates.
const (
	Joins    Fate = "joins"     // it becomes the rep's reading, pitch and call
	Stays    Fate = "stays"     // the rep has a reading, typed by hand, which stays
	Differs  Fate = "differs"   // the rep was logged as another pitch: it joins only if it is told to
	NoThrow  Fate = "no throw"  // nothing on the film is its throw
	NewRep   Fate = "new rep"   // there is no film: it becomes a rep of its own
	IsJoined Fate = "is joined" // it belongs to a rep already
)

// Line is an entry beside the throw that it belongs to in one way.
type Line struct {
	Entry bullpen.FieldEntry
	Fate  Fate
	Throw *Throw
	Place int          // of the throw among all on the films, from 1
	Rep   *bullpen.Rep // as logged, nil for a proposed one
	// Seconds is when the throw is released, file seconds of its film.
	Seconds float64
}

// Unread is a throw between others that has no entry and no reading.
type Unread struct {
	Throw   Throw
	Place   int
	Seconds float64
}

// Outcome is one way, as it would come out.
type Outcome struct {
	Chance float64
	Lines  []Line
	Unread []Unread
}

// Standing is what stands between a bullpen and its entries.
type Standing struct {
	Revision int64
	Waiting  int  // entries that belong to no rep yet
	Looking  bool // they are being laid over the reps just now
	Filmed   bool // there are throws on a film to belong to
	Sure     bool
	Why      string
	Outcomes []Outcome // the likeliest first
	Headline string    // of the first, in one sentence; "" while there is nothing to say
	Joined   int       // reps that the last join concerned, which can be undone
}

// Standing says how a bullpen stands with its entries.
func (f *Field) Standing(ctx context.Context, bullpenID string) (Standing, error) {
	l, _, err := f.standing(ctx, bullpenID)
	return l, err
}

func (f *Field) standing(ctx context.Context, bullpenID string) (Standing, ground, error) {
	g, err := f.ground(ctx, bullpenID)
	if err != nil {
		return Standing{}, g, err
	}
	out := Standing{Revision: g.revision}
	if out.Joined, err = f.store.LastJoin(ctx, bullpenID); err != nil {
		return out, g, err
	}
	for _, e := range g.entries {
		if e.RepID == "" {
			out.Waiting++
		}
	}
	if out.Waiting == 0 {
		return out, g, nil
	}
	out.Filmed = len(g.shots) > 0
	if !out.Filmed {
		if len(g.films) == 0 {
			out.Outcomes = []Outcome{g.alone()}
			out.Sure = true
			out.Headline = begun(counted(out.Waiting, "reading")) + " from the field, and no film: each can become a rep of its own."
		}
		return out, g, nil
	}
	inputs, found, err := f.store.FieldMatch(ctx, bullpenID)
	if err != nil {
		return out, g, err
	}
	if inputs != g.digest() {
		out.Looking = true
		return out, g, nil
	}
	var m Match
	if err := json.Unmarshal([]byte(found), &m); err != nil {
		return out, g, err
	}
	out.Sure, out.Why = m.Sure, m.Why
	for _, w := range m.Ways {
		out.Outcomes = append(out.Outcomes, g.lay(m, w))
	}
	if len(m.Ways) == 0 {
		out.Outcomes = []Outcome{g.lay(m, Way{Throws: slices.Repeat([]int{rhythm.None}, len(m.Entries))})}
	}
	out.Headline = out.Outcomes[0].said()
	switch joins := out.Outcomes[0]; {
	case g.any(joins, func(p store.Proposal) bool { return p.Rough }):
		out.Why = strings.TrimSpace(out.Why + " " + whyRough)
	case g.any(joins, store.Proposal.Vague):
		out.Why = strings.TrimSpace(out.Why + " " + whyVague)
	}
	return out, g, nil
}

// whyRough is said of releases that nobody marked: the film room finds them better from one
// that somebody did, and what joins before stays where it was found.
const whyRough = "Their releases are found only roughly so far. Mark the release of one rep in the film room first: the others are then found from it, mostly to within a frame, and the film room says where not."

// whyVague is said where releases are marked and some of the others are not surely found.
const whyVague = "Not all of their releases are surely found; step to them in the film room once they have joined."

// any reports whether a laying would log reps from proposals that are such.
func (g ground) any(l Outcome, such func(store.Proposal) bool) bool {
	return slices.ContainsFunc(l.Lines, func(line Line) bool {
		return line.Fate == Joins && line.Throw != nil && slices.ContainsFunc(g.proposals, func(p store.Proposal) bool { return p.ID == line.Throw.ProposalID && such(p) })
	})
}

// alone is how entries become reps where there is no film.
func (g ground) alone() (out Outcome) {
	for _, e := range g.entries {
		if e.RepID == "" {
			out.Lines = append(out.Lines, Line{Entry: e, Fate: NewRep})
		}
	}
	return out
}

// lay says how a way would come out, given what belongs to a rep already.
func (g ground) lay(m Match, w Way) (out Outcome) {
	out.Chance = w.Chance
	taken, first, last := map[int]bool{}, len(m.Throws), -1
	for i, e := range g.entries {
		at := w.Throws[i]
		line := Line{Entry: e, Fate: NoThrow}
		if at != rhythm.None {
			taken[at], first, last = true, min(first, at), max(last, at)
			line.Throw, line.Place = &m.Throws[at], at+1
			line.Rep, line.Seconds = g.rep(m.Throws[at]), g.seconds(m.Throws[at])
			line.Fate = fate(e, line.Rep)
		}
		if e.RepID != "" {
			line.Fate = IsJoined
		} else if line.Rep != nil && g.has(line.Rep.ID) { // another entry's already
			line = Line{Entry: e, Fate: NoThrow}
		}
		out.Lines = append(out.Lines, line)
	}
	for at := first; at <= last; at++ {
		if r := g.rep(m.Throws[at]); !taken[at] && (r == nil || r.Reading == nil) {
			out.Unread = append(out.Unread, Unread{m.Throws[at], at + 1, g.seconds(m.Throws[at])})
		}
	}
	return out
}

// fate is what becomes of an entry on a rep, nil for one that is only proposed. What was
// typed in the film room stays. A fastball without a reading may have been said or not:
// that is what reps are logged as unless told otherwise, so it takes the entry's pitch.
func fate(e bullpen.FieldEntry, rep *bullpen.Rep) Fate {
	switch {
	case rep == nil:
		return Joins
	case rep.Reading != nil:
		return Stays
	case rep.Pitch != e.Pitch && rep.Pitch != bullpen.Fastball:
		return Differs
	}
	return Joins
}

func (g ground) rep(t Throw) *bullpen.Rep {
	for i := range g.reps {
		if t.RepID != "" && g.reps[i].ID == t.RepID {
			return &g.reps[i]
		}
	}
	return nil
}

// has reports whether a rep has an entry already.
func (g ground) has(repID string) bool {
	return slices.ContainsFunc(g.entries, func(e bullpen.FieldEntry) bool { return e.RepID == repID })
}

func (g ground) seconds(t Throw) float64 {
	for _, f := range g.films {
		if f.ID == t.FilmID && t.Release < f.Clock.Frames() {
			return f.Clock.FileSeconds(t.Release)
		}
	}
	return 0
}
