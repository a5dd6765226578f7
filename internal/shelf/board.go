package shelf

import (
	"cmp"
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
	"tenoff/internal/pace"
	"tenoff/internal/store"
)

// Board is one bullpen with everything its clips show.
type Board struct {
	Pitcher bullpen.Pitcher
	Bullpen bullpen.Bullpen
	Films   []store.Film
	Reps    []bullpen.Rep
	Sheet   bullpen.Sheet // bullpen.Judge of the above

	pace.Pace // what is known of the body
}

// Board reads a bullpen and judges it.
func (s *Shelf) Board(ctx context.Context, bullpenID string) (Board, error) {
	var b Board
	var err error
	if b.Bullpen, _, err = s.store.Bullpen(ctx, bullpenID); err != nil {
		return b, err
	}
	if b.Pitcher, err = s.store.Pitcher(ctx, b.Bullpen.PitcherID); err != nil {
		return b, err
	}
	if b.Bullpen.Usual, err = s.store.Usual(ctx, b.Bullpen); err != nil {
		return b, err
	}
	if b.Films, err = s.store.Films(ctx, bullpenID); err != nil {
		return b, err
	}
	if b.Reps, err = s.store.Reps(ctx, bullpenID); err != nil {
		return b, err
	}
	b.Sheet = bullpen.Judge(b.Pitcher, b.Bullpen, b.plainFilms(), b.Reps)
	b.Pace, err = pace.Of(ctx, s.store, b.Pitcher, b.Bullpen, b.Films, b.Reps, b.Sheet)
	return b, err
}

// Session returns the bullpen as the ledger writes it, with the names of the clips
// that entries says there are.
func (b Board) Session(entries []Entry) ledger.Session {
	names := map[string]string{}
	for _, e := range entries {
		if e.Made && e.Kind == singleKind {
			names[e.RepID] = e.FileName
		}
	}
	return ledger.Session{
		Pitcher: b.Pitcher, Bullpen: b.Bullpen, Films: b.plainFilms(), Reps: b.Reps, Sheet: b.Sheet, Clips: names, Body: b.Body,
	}
}

func (b Board) plainFilms() []bullpen.Film {
	films := make([]bullpen.Film, len(b.Films))
	for i, f := range b.Films {
		films[i] = f.Film
	}
	return films
}

// shot is one rep of a clip.
type shot struct {
	board   Board
	rep     bullpen.Rep
	numbers bullpen.RepNumbers
	film    store.Film
}

// shot finds a rep and what it is filmed on. The error says in one sentence why a
// clip can't be made of it.
func (b Board) shot(repID string) (shot, error) {
	x := shot{board: b}
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

// Baseline returns the pitcher's baseline pitch.
func (b Board) Baseline() bullpen.Pitch { return cmp.Or(b.Pitcher.BaselinePitch, bullpen.Fastball) }

// Partner returns the baseline pitch to lay beside rep off: of those with a
// release mark and a reading the one nearest off's baseline, in the same drill and
// at the same gun place if there is one; without any reading the one thrown
// nearest to off.
func (b Board) Partner(off bullpen.Rep) (bullpen.Rep, error) {
	pitch := b.Baseline()
	n, _ := b.Sheet.Rep(off.ID)
	var best bullpen.Rep
	var least distance
	for _, r := range b.Reps {
		if r.ID == off.ID || r.Pitch != pitch || r.FilmID == "" || r.Release == bullpen.Unmarked {
			continue
		}
		d := distance{order: abs(float64(r.Order - off.Order))}
		numbers, _ := b.Sheet.Rep(r.ID)
		d.noNumber = numbers.Speed == nil || n.Baseline == nil
		if !d.noNumber {
			d.speed = abs(float64(*numbers.Speed - n.Baseline.Speed))
		}
		d.other = bullpen.DrillKey(r.Drill) != bullpen.DrillKey(off.Drill) || gunOf(b.Bullpen, r) != gunOf(b.Bullpen, off)
		d.warmUp = r.WarmUp
		if best.ID == "" || d.less(least) {
			best, least = r, d
		}
	}
	if best.ID == "" {
		name := string(pitch)
		if t, ok := bullpen.TypeOf(pitch); ok {
			name = t.Name
		}
		return best, bullpen.Errorf(bullpen.Invalid, "There is no %s with a release mark to lay beside rep %d; mark one, or choose a rep.", name, off.Order)
	}
	return best, nil
}

// distance is how far a rep is from being the one to compare with.
type distance struct {
	warmUp, noNumber, other bool
	speed, order            float64
}

func (d distance) less(e distance) bool {
	for _, p := range [][2]bool{{d.warmUp, e.warmUp}, {d.noNumber, e.noNumber}, {d.other, e.other}} {
		if p[0] != p[1] {
			return p[1]
		}
	}
	if d.speed != e.speed {
		return d.speed < e.speed
	}
	return d.order < e.order
}

func gunOf(pen bullpen.Bullpen, r bullpen.Rep) bullpen.GunPlace {
	if r.Reading == nil {
		return pen.Gun
	}
	return pen.Fill(*r.Reading).Gun
}

func abs(v float64) float64 { return max(v, -v) }
