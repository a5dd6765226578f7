package field

import (
	"cmp"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/propose"
	"tenoff/internal/store"
)

// Throw is a rep on a film, logged or proposed.
type Throw struct {
	RepID      string `json:",omitempty"` // of a logged one
	ProposalID string `json:",omitempty"` // of a proposed one
	FilmID     string
	Release    int // frame
}

// shot is a film with throws on it.
type shot struct {
	id       string
	recorded float64   // when it says that it was made, seconds; 0 if it does not
	seconds  float64   // how long it was filmed
	times    []float64 // of its throws, real seconds from its first frame
	throws   []Throw
}

// shotsOf gathers the throws on a bullpen's films, in order: the reps whose release is
// marked, and what was found that looks and sounds like one.
func shotsOf(films []store.Film, reps []bullpen.Rep, proposals []store.Proposal) []shot {
	var out []shot
	for _, f := range films {
		if f.State != bullpen.FilmReady || f.Clock.Frames() < 2 {
			continue
		}
		s := shot{id: f.ID, recorded: float64(f.Recorded) / 1e6, seconds: f.Clock.RealSeconds(0, f.Clock.Frames()-1)}
		for _, r := range reps {
			if r.FilmID == f.ID && r.Release >= 0 && r.Release < f.Clock.Frames() {
				s.throws = append(s.throws, Throw{RepID: r.ID, FilmID: f.ID, Release: r.Release})
			}
		}
		logged := s.throws
		for _, p := range proposals {
			if p.FilmID == f.ID && p.State == store.ProposalOpen && p.Confidence > propose.Sure && p.Release >= 0 && p.Release < f.Clock.Frames() &&
				!slices.ContainsFunc(logged, func(t Throw) bool { return propose.SamePitch(f.Clock, t.Release, p.Release) }) {
				s.throws = append(s.throws, Throw{ProposalID: p.ID, FilmID: f.ID, Release: p.Release})
			}
		}
		slices.SortStableFunc(s.throws, func(a, b Throw) int { return cmp.Compare(a.Release, b.Release) })
		for _, t := range s.throws {
			s.times = append(s.times, f.Clock.RealSeconds(0, t.Release))
		}
		if len(s.throws) > 0 {
			out = append(out, s)
		}
	}
	return out
}
