package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"time"

	"tenoff/internal/bullpen"
)

// FieldPair is an entry and the rep that it becomes a part of, as that will be: one with
// an ID is saved, another is logged, from a proposal if that is named, at its Order if it
// has one.
type FieldPair struct {
	EntryID    string
	ProposalID string
	Rep        bullpen.Rep
}

// joinedRep is what undoing a join needs of one rep.
type joinedRep struct {
	EntryID string
	RepID   string
	Logged  bool  // the join logged it
	Version int64 // as the join left it
	Was     bullpen.Rep
}

// JoinEntries makes entries parts of a bullpen's reps, all of it or nothing, as one step
// that UndoJoin takes back. It is a Conflict when the bullpen is past the revision at
// which they were paired, or an entry is a rep's already.
func (s *Store) JoinEntries(ctx context.Context, bullpenID string, seen int64, pairs []FieldPair) (revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT revision FROM bullpens WHERE id = ?`, bullpenID).Scan(&revision); err != nil {
			return err
		}
		if revision != seen {
			return bullpen.Errorf(bullpen.Conflict, "This bullpen was changed in the meantime; look at the readings again.")
		}
		step := make([]joinedRep, len(pairs))
		for i, p := range pairs {
			p.Rep.BullpenID = bullpenID
			if step[i], err = tx.joinEntry(s, p); err != nil {
				return err
			}
		}
		if err := renumber(tx, bullpenID); err != nil {
			return err
		}
		for i, p := range pairs {
			if step[i].Logged {
				if err := tx.keepPitches([]string{step[i].RepID}, []bullpen.Rep{p.Rep}); err != nil {
					return err
				}
			}
		}
		for i := range step {
			if err := tx.QueryRow(`SELECT version FROM reps WHERE id = ?`, step[i].RepID).Scan(&step[i].Version); err != nil {
				return err
			}
		}
		body, err := json.Marshal(step)
		if err != nil {
			return err
		}
		if _, err := tx.Exec(`INSERT INTO field_joins (id, academy_id, bullpen_id, created, body) VALUES (?, ?, ?, ?, ?)`, newID(), tx.academy, bullpenID, tx.now, string(body)); err != nil {
			return err
		}
		revision, err = tx.touch(bullpenID)
		return err
	})
	return revision, err
}

// joinEntry does one pair's part of a join.
func (t *tx) joinEntry(s *Store, p FieldPair) (out joinedRep, err error) {
	out = joinedRep{EntryID: p.EntryID, RepID: p.Rep.ID}
	if p.Rep.ID != "" {
		if out.Was, _, err = saveRep(t, p.Rep); err != nil {
			return out, err
		}
	} else {
		out.Logged = true
		if out.RepID, err = insertRep(t, p.Rep, ""); err != nil {
			return out, err
		}
		if p.Rep.Order > 0 {
			p.Rep.ID = out.RepID
			var last int
			if err := t.QueryRow(`SELECT place FROM reps WHERE id = ?`, out.RepID).Scan(&last); err != nil {
				return out, err
			}
			if p.Rep.Order < last {
				if err := move(t, p.Rep, last); err != nil {
					return out, err
				}
			}
		}
		if p.ProposalID != "" {
			if err := t.confirm(p.ProposalID, out.RepID, p.Rep.FilmID); err != nil {
				return out, err
			}
		}
	}
	res, err := t.Exec(`UPDATE field_entries SET rep_id = ?1 WHERE id = ?2 AND academy_id = ?3 AND undone = 0 AND aside = 0
		AND NOT EXISTS (SELECT 1 FROM reps WHERE id = rep_id AND deleted = 0)
		AND (bullpen_id = ?4 OR bullpen_id IS NULL AND (pitcher_id, day) = (SELECT pitcher_id, day FROM bullpens WHERE id = ?4))`, out.RepID, p.EntryID, t.academy, p.Rep.BullpenID)
	if err == nil {
		if n, e := res.RowsAffected(); e != nil || n == 0 {
			err = errors.Join(e, bullpen.Errorf(bullpen.Conflict, "One of these readings was taken back or belongs to a rep already; look at them again."))
		}
	}
	return out, err
}

// undoFor is how long a join can be undone, in microseconds.
const undoFor = int64(48 * time.Hour / time.Microsecond)

// LastJoin says how many reps the last join of a bullpen's entries concerned, 0 where
// there is none to undo.
func (s *Store) LastJoin(ctx context.Context, bullpenID string) (reps int, err error) {
	step, _, err := lastJoin(ctx, s.read, bullpenID, s.own(ctx), s.Now())
	return len(step), err
}

func lastJoin(ctx context.Context, db queryer, bullpenID, academy string, now int64) (step []joinedRep, id string, err error) {
	var body string
	err = db.QueryRowContext(ctx, `SELECT id, body FROM field_joins WHERE bullpen_id = ? AND academy_id = ? AND created > ? ORDER BY created DESC, id DESC LIMIT 1`, bullpenID, academy, now-undoFor).Scan(&id, &body)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, "", nil
	}
	if err != nil {
		return nil, "", explain(err)
	}
	return step, id, json.Unmarshal([]byte(body), &step)
}

// UndoJoin takes the last join of a bullpen's entries back: reps that it logged are taken
// out and their proposals open again, others have their reading, pitch and call as before.
// What was changed since stays as it is, and is counted.
func (s *Store) UndoJoin(ctx context.Context, bullpenID string) (kept int, revision int64, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", bullpenID); err != nil {
			return err
		}
		step, id, err := lastJoin(ctx, tx, bullpenID, tx.academy, tx.now)
		if err != nil {
			return err
		}
		if id == "" {
			return bullpen.Errorf(bullpen.NotFound, "No readings from the field were joined here that could be undone.")
		}
		for _, j := range step {
			undone, err := tx.unjoin(j)
			if err != nil {
				return err
			}
			if !undone {
				kept++
			}
		}
		if _, err := tx.Exec(`DELETE FROM field_joins WHERE id = ?`, id); err != nil {
			return err
		}
		if err := renumber(tx, bullpenID); err != nil {
			return err
		}
		revision, err = tx.touch(bullpenID)
		return err
	})
	return kept, revision, err
}

// unjoin takes one pair of a join back, unless its rep was changed since.
func (t *tx) unjoin(j joinedRep) (bool, error) {
	now, err := onlyRep(t.QueryRow(`SELECT `+repFields+` FROM reps r WHERE r.id = ? AND r.deleted = 0 AND r.academy_id = ?`, j.RepID, t.academy))
	switch {
	case errors.Is(err, sql.ErrNoRows): // somebody took it out
	case err != nil:
		return false, err
	case now.Version != j.Version:
		return false, nil
	case j.Logged:
		if _, err := t.Exec(`UPDATE reps SET deleted = ?, version = version + 1 WHERE id = ?`, t.now, j.RepID); err != nil {
			return false, err
		}
		if err := reopen(t, j.RepID, true); err != nil {
			return false, err
		}
	default:
		now.Reading, now.Pitch, now.Call, now.Sure = j.Was.Reading, j.Was.Pitch, j.Was.Call, j.Was.Sure
		if _, _, err := saveRep(t, now); err != nil {
			return false, err
		}
	}
	_, err = t.Exec(`UPDATE field_entries SET rep_id = NULL WHERE id = ? AND academy_id = ? AND rep_id = ?`, j.EntryID, t.academy, j.RepID)
	return true, err
}
