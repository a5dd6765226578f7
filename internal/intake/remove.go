package intake

import (
	"context"
	"time"

	"tenoff/internal/store"
)

// Removed counts what a deletion took away, or would take away.
type Removed struct {
	Bullpens, Films, Reps, Clips, Copies, Slips, Shares int // Copies: of clips, in answers that were sent
	Typed                                               int // readings from the field that are no rep's
	HomeworkIDs                                         []string
	Bytes                                               int64 // on the disk
}

// Would counts what removing a "pitcher", "bullpen", "film" or "clip" would take
// away.
func (in *Intake) Would(ctx context.Context, what, id string) (Removed, error) {
	r, err := in.store.Would(ctx, what, id)
	return counts(r), err
}

// RemovePitcher removes a pitcher with everything of hers. version is the one that
// was seen, 0 is whatever it is now. agree is told what that takes away, at a moment
// when nothing else can come or go; nothing is removed when it fails.
func (in *Intake) RemovePitcher(ctx context.Context, id string, version int64, agree func(Removed) error) (Removed, error) {
	return in.removed(ctx)(in.store.RemovePitcher(ctx, id, version, counted(agree)))
}

// RemoveBullpen removes a bullpen with its films, reps and clips, as RemovePitcher
// does a pitcher.
func (in *Intake) RemoveBullpen(ctx context.Context, id string, version int64, agree func(Removed) error) (Removed, error) {
	return in.removed(ctx)(in.store.RemoveBullpen(ctx, id, version, counted(agree)))
}

func counted(agree func(Removed) error) func(store.Removal) error {
	return func(r store.Removal) error { return agree(counts(r)) }
}

// RemoveFilm removes a film and the clips cut from it. Its reps keep their readings
// and lose their marks.
func (in *Intake) RemoveFilm(ctx context.Context, id string, version int64) (Removed, error) {
	return in.removed(ctx)(in.store.RemoveFilm(ctx, id, version))
}

// RemoveClip removes a clip.
func (in *Intake) RemoveClip(ctx context.Context, id string) (Removed, error) {
	return in.removed(ctx)(in.store.RemoveClip(ctx, id))
}

// removed removes the files of what the store has just removed. What is left of it in
// the database's own files store.Tend cleans away.
func (in *Intake) removed(ctx context.Context) func(store.Removal, error) (Removed, error) {
	return func(r store.Removal, err error) (Removed, error) {
		if err != nil {
			return Removed{}, err
		}
		in.discard(ctx, r.Files)
		return counts(r), nil
	}
}

func counts(r store.Removal) Removed {
	return Removed{
		Bullpens: r.Bullpens, Films: r.Films, Reps: r.Reps, Clips: r.Clips, Copies: r.Copies, Slips: r.Slips, Shares: r.Shares,
		Typed: r.Typed, HomeworkIDs: r.HomeworkIDs, Bytes: r.Bytes(),
	}
}

// Sweep removes what a program that ended without warning left half made, and what
// it had no time to remove. Call it before anything arrives and before jobs run.
func (in *Intake) Sweep(ctx context.Context) error {
	if err := in.blobs.Sweep(ctx); err != nil {
		return err
	}
	if err := in.Purge(ctx); err != nil {
		return err
	}
	loose, err := in.store.LooseFiles(ctx)
	if err != nil {
		return err
	}
	if len(loose) > 0 {
		in.log.InfoContext(ctx, "left over files are removed", "files", len(loose))
	}
	in.discard(ctx, loose)
	return nil
}

// another is for how long what another program may be making is left alone.
const another = 24 * time.Hour

// SweepOld is Sweep where other programs are at work: what is younger than a day may be
// theirs, and stays.
func (in *Intake) SweepOld(ctx context.Context) error {
	before := in.now().Add(-another)
	if err := in.blobs.SweepOld(ctx, before); err != nil {
		return err
	}
	loose, err := in.store.OldLooseFiles(ctx, before)
	if err != nil {
		return err
	}
	in.discard(ctx, loose)
	return in.Purge(ctx)
}

// Restorable is for how long a deleted rep can be brought back.
const Restorable = 30 * 24 * time.Hour

// Purge removes for good, in every academy, the reps that were deleted longer ago,
// and their clips with them.
func (in *Intake) Purge(ctx context.Context) error {
	before := in.now().Add(-Restorable)
	return in.store.InEach(ctx, func(ctx context.Context) error {
		loose, err := in.store.PurgeReps(ctx, before)
		if err != nil {
			return err
		}
		in.discard(ctx, loose)
		return nil
	})
}
