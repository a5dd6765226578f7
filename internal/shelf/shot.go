package shelf

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/ledger"
	"tenoff/internal/store"
)

// shot is one rep of a clip.
type shot struct {
	of      judged.Bullpen
	rep     bullpen.Rep
	numbers bullpen.RepNumbers
	film    store.Film
}

// shotOf finds a rep of a bullpen and what it is filmed on. The error says in one
// sentence why a clip can't be made of it.
func shotOf(b judged.Bullpen, repID string) (shot, error) {
	x := shot{of: b}
	for _, r := range b.Reps {
		if r.ID == repID {
			x.rep = r
		}
	}
	if x.rep.ID == "" {
		return x, bullpen.Errorf(bullpen.NotFound, "That rep is no longer in this bullpen.")
	}
	x.numbers, _ = b.Sheet.Rep(repID)
	for _, f := range b.Films {
		if f.ID == x.rep.FilmID {
			x.film = f
		}
	}
	switch {
	case x.rep.FilmID == "" || x.film.ID == "":
		return x, bullpen.Errorf(bullpen.Invalid, "Rep %d is not on film, so there can be no clip of it.", x.rep.Order)
	case x.rep.Release == bullpen.Unmarked:
		return x, bullpen.Errorf(bullpen.Invalid, "Rep %d has no release mark; mark the release and make the clip again.", x.rep.Order)
	case x.film.State != bullpen.FilmReady:
		return x, bullpen.Errorf(bullpen.Unavailable, "The film of rep %d is still being read; make the clip again when it is ready.", x.rep.Order)
	}
	return x, nil
}

// Session returns the bullpen as the ledger writes it, with the names of the clips
// that entries says there are and what was measured of her joints.
func Session(b judged.Bullpen, entries []Entry, postures judged.Postures) ledger.Session {
	names := map[string]string{}
	for _, e := range entries {
		if e.Made && e.Kind == singleKind {
			names[e.RepID] = e.FileName
		}
	}
	return ledger.Session{Bullpen: b, Clips: names, Postures: postures}
}
