package field

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"log/slog"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// Kind is the kind of job that finds the reps of a bullpen's entries; its subject is the
// bullpen.
const Kind = "match field readings"

// Field finds which reps entries belong to. Its methods may be used by several goroutines.
type Field struct {
	store *store.Store
	log   *slog.Logger
}

// New returns a Field over a store. A nil log logs nothing.
func New(s *store.Store, log *slog.Logger) *Field {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	return &Field{s, log}
}

// ground is all that a match hangs on.
type ground struct {
	pen       bullpen.Bullpen
	revision  int64
	entries   []bullpen.FieldEntry
	films     []store.Film
	reps      []bullpen.Rep
	proposals []store.Proposal
	shots     []shot
}

func (f *Field) ground(ctx context.Context, bullpenID string) (g ground, err error) {
	if g.pen, g.revision, err = f.store.Bullpen(ctx, bullpenID); err != nil {
		return g, err
	}
	if g.entries, err = f.store.LessonEntries(ctx, g.pen); err != nil || len(g.entries) == 0 {
		return g, err
	}
	if g.films, err = f.store.Films(ctx, bullpenID); err != nil {
		return g, err
	}
	if g.reps, err = f.store.Reps(ctx, bullpenID); err != nil {
		return g, err
	}
	if g.proposals, err = f.store.Proposals(ctx, bullpenID); err != nil {
		return g, err
	}
	g.shots = shotsOf(g.films, g.reps, g.proposals)
	return g, nil
}

// waits reports whether there are entries that belong to no rep yet.
func (g ground) waits() bool {
	return slices.ContainsFunc(g.entries, func(e bullpen.FieldEntry) bool { return e.RepID == "" })
}

// method tells matches of other versions of the method apart.
const method = 1

// digest stands for all that a match hangs on.
func (g ground) digest() string {
	type typed struct {
		ID string
		At int64
	}
	type film struct {
		ID                string
		Recorded, Seconds float64
		Times             []float64
		Throws            []Throw
	}
	seen := struct {
		Method  int
		Entries []typed
		Films   []film
	}{Method: method}
	for _, e := range g.entries {
		seen.Entries = append(seen.Entries, typed{e.ID, e.At})
	}
	for _, s := range g.shots {
		seen.Films = append(seen.Films, film{s.id, s.recorded, s.seconds, s.times, s.throws})
	}
	text, err := json.Marshal(seen)
	if err != nil { // a time that is no number: another one will be
		return ""
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16])
}

// Find is the handler of jobs of this Kind.
func (f *Field) Find(ctx context.Context, job store.Job, _ func(done float64)) error {
	g, err := f.ground(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil {
		return err
	}
	found, err := json.Marshal(match(g.entries, g.shots))
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	err = f.store.KeepFieldMatch(ctx, job.Subject, g.digest(), string(found))
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	return err
}

// due reports whether the entries of a ground are to be laid anew.
func (f *Field) due(ctx context.Context, g ground) (bool, error) {
	if !g.waits() || len(g.shots) == 0 {
		return false, nil
	}
	inputs, _, err := f.store.FieldMatch(ctx, g.pen.ID)
	return err == nil && inputs != g.digest(), err
}

// FollowChanges has entries laid over reps anew whenever something that it hangs on
// changes, whoever changed it, until ctx ends. It begins with what changed while nobody
// listened.
func (f *Field) FollowChanges(ctx context.Context) error {
	f.store.Follow(ctx, f.store.BullpensWithEntries, f.followChange, func(err error) {
		f.log.WarnContext(ctx, "which readings from the field wait can't be read", "err", err)
	})
	return nil
}

// followChange queues a match of a bullpen that was changed, if one is due. That it can't
// be is logged: what was changed is stored.
func (f *Field) followChange(ctx context.Context, bullpenID string) {
	g, err := f.ground(ctx, bullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return
	}
	var due bool
	if err == nil {
		due, err = f.due(ctx, g)
	}
	if due {
		_, err = f.store.AddJob(ctx, store.NewJob{Kind: Kind, Subject: bullpenID, BullpenID: bullpenID})
	}
	if err != nil && ctx.Err() == nil {
		f.log.WarnContext(ctx, "readings from the field are not laid over reps", "bullpen", bullpenID, "err", err)
	}
}
