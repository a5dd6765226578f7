package store

import (
	"context"
	"fmt"

	"tenoff/internal/bullpen"
)

// Run is a run of readings on the reps of one bullpen.
type Run struct {
	BullpenID string
	Seen      int64         // the revision at which it was matched to the reps; 0 for any
	Saved     []bullpen.Rep // reps that it changes, as they will be
	New       []bullpen.Rep // reps that it logs behind all others, as thrown; of a homework too, each stays the pitch it is
	// Key is a name of the caller's own, "" for none: a run that logged reps under it is
	// not entered again.
	Key string
}

// Enter stores a run, all of it or nothing, and returns the IDs of the reps that it
// logged, as thrown, and the bullpen's revision. It is a Conflict when the bullpen is
// past the revision at which the run was matched.
func (s *Store) Enter(ctx context.Context, run Run) (logged []string, revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", run.BullpenID); err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT revision FROM bullpens WHERE id = ?`, run.BullpenID).Scan(&revision); err != nil {
			return err
		}
		known, err := tx.loggedAs(run)
		if len(known) > 0 || err != nil {
			logged = known
			return err
		}
		if run.Seen != 0 && run.Seen != revision {
			return bullpen.Errorf(bullpen.Conflict, "This bullpen was changed in the meantime; look at the pairs again.")
		}
		if len(run.Saved) > 0 {
			if revision, err = tx.saveReps(run.Saved, nil); err != nil {
				return err
			}
		}
		for i, r := range run.New {
			r.BullpenID = run.BullpenID
			id, err := insertRep(tx, r, run.sentAs(i))
			if err != nil {
				return err
			}
			logged = append(logged, id)
		}
		if len(run.New) == 0 {
			return nil
		}
		if err := renumber(tx, run.BullpenID); err != nil {
			return err
		}
		if err := tx.keepPitches(logged, run.New); err != nil {
			return err
		}
		revision, err = tx.touch(run.BullpenID)
		return err
	})
	if err != nil {
		return nil, 0, err
	}
	return logged, revision, nil
}

// keepPitches gives reps of these IDs the pitch they were logged as: laid for the first
// time, a fastball counts as not said, and the workout's pitch took its place.
func (t *tx) keepPitches(ids []string, as []bullpen.Rep) error {
	for i, id := range ids {
		if _, err := t.Exec(`UPDATE reps SET version = version + 1, pitch = ?1 WHERE id = ?2 AND pitch <> ?1`, as[i].Pitch, id); err != nil {
			return err
		}
	}
	return nil
}

// sentAs is the name under which a run's new rep is kept, "" for none.
func (r Run) sentAs(i int) string {
	if r.Key == "" {
		return ""
	}
	return fmt.Sprintf("%s/%05d", r.Key, i)
}

// loggedAs returns the reps that were logged under the run's key, those too that were
// taken out since.
func (t *tx) loggedAs(run Run) ([]string, error) {
	if run.Key == "" {
		return nil, nil
	}
	return all(t.ctx, t.Tx, text, `SELECT id FROM reps WHERE bullpen_id = ? AND sent_as BETWEEN ? AND ? AND sent_as <> '' AND academy_id = ? ORDER BY sent_as`,
		run.BullpenID, run.Key+"/", run.Key+"/~", t.academy)
}
