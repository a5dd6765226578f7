package propose

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// instantInputs is what a search for instants hangs on.
type instantInputs struct {
	id       string
	revision int64
	baseline bullpen.Pitch
	films    []store.Film
	reps     []bullpen.Rep // on a film, with a release
	accepted map[string]store.Accepted
}

func (s *Proposer) pen(ctx context.Context, bullpenID string) (p instantInputs, err error) {
	p.id = bullpenID
	// The revision is read first: what changes in between is then newer than it.
	b, revision, err := s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return p, err
	}
	p.revision = revision
	her, err := s.store.Pitcher(ctx, b.PitcherID)
	if err != nil {
		return p, err
	}
	if p.baseline = her.BaselinePitch; p.baseline == "" {
		p.baseline = bullpen.Fastball
	}
	films, err := s.store.Films(ctx, bullpenID)
	if err != nil {
		return p, err
	}
	p.films = slices.DeleteFunc(films, func(f store.Film) bool { return f.State != bullpen.FilmReady })
	if p.reps, err = s.store.Reps(ctx, bullpenID); err != nil {
		return p, err
	}
	clocks := map[string]int{}
	for _, f := range p.films {
		clocks[f.ID] = f.Clock.Frames()
	}
	p.reps = slices.DeleteFunc(p.reps, func(r bullpen.Rep) bool { return r.Release < 0 || r.Release >= clocks[r.FilmID] })
	p.accepted, err = s.store.Accepted(ctx, bullpenID)
	return p, err
}

func (p instantInputs) fast() string {
	if t, ok := bullpen.TypeOf(p.baseline); ok {
		return t.Name
	}
	return string(p.baseline)
}

func (p instantInputs) isFast(r bullpen.Rep) bool {
	return r.Pitch == p.baseline && bullpen.DrillKey(r.Drill) == "" && !r.WarmUp
}

// placed returns the frames of a rep's marks that a person placed; a mark that was
// taken over from what was found and not moved since is none. The instants are
// carried over from fastballs only: another pitch keeps another time between legs
// and arm, and would move them. Nor do marks on change-ups move what is found on
// other change-ups: how far a hand misses the instant on the fastball shifts both
// pitches alike and falls out of their comparison; on one pitch alone, it would pass
// for a slower or a faster body.
func (p instantInputs) placed(r bullpen.Rep) bullpen.Rep {
	if !p.isFast(r) {
		r.Drive, r.Plant, r.Top, r.Release = bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked
		return r
	}
	if a, ok := p.accepted[r.ID]; ok {
		takeOff(&r, a)
	}
	if r.Drive < 0 && r.Plant < 0 && r.Top < 0 {
		r.Release = bullpen.Unmarked // found itself, most likely
	}
	return r
}

// hasReference reports whether all four instants are marked, on one fastball or
// some on this one and some on that.
func (p instantInputs) hasReference() bool {
	var drive, plant, top, release bool
	for _, r := range p.reps {
		m := p.placed(r)
		drive, plant, top, release = drive || m.Drive >= 0, plant || m.Plant >= 0, top || m.Top >= 0, release || m.Release >= 0
	}
	return drive && plant && top && release
}

// method names what searches for instants are made with; a digest begins with it.
var method = fmt.Sprintf("%d.%d ", trace.Version, tempo.Version)

// digest names everything that a search hangs on.
func (p instantInputs) digest() string {
	type film struct {
		ID, Motion string
		View       bullpen.View
		Slow       float64
	}
	type rep struct {
		ID, Film                       string
		At, Drive, Plant, Top, Release int
		Fast                           bool
	}
	var in struct {
		Films []film
		Reps  []rep
	}
	for _, f := range p.films {
		in.Films = append(in.Films, film{f.ID, f.Made.Motion, f.View, f.Clock.Slow})
	}
	for _, r := range p.reps {
		m := p.placed(r)
		in.Reps = append(in.Reps, rep{r.ID, r.FilmID, r.Release, m.Drive, m.Plant, m.Top, m.Release, p.isFast(r)})
	}
	text, _ := json.Marshal(in) // strings, whole numbers and a slow factor: it can't fail
	sum := sha256.Sum256(text)
	return method + hex.EncodeToString(sum[:16])
}
