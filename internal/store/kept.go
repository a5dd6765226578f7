package store

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"slices"
	"sync"

	"tenoff/internal/bullpen"
)

// keptBullpens is how many bullpens' reps are kept in memory, those asked for last.
const keptBullpens = 8

// keptReps holds the reps of some bullpens as they were at a revision. A later
// revision is reached by reading what has changed since: reading 5,000 rows to see
// one of them changed costs more than all that is computed from them.
type keptReps struct {
	mu   sync.Mutex
	kept []repsAt // asked for last first
}

// repsAt is a bullpen's reps at one revision.
type repsAt struct {
	academy, bullpenID string
	revision           int64
	reps               []bullpen.Rep // as thrown; shared, so never changed
}

func (k *keptReps) look(academy, bullpenID string) (repsAt, bool) {
	k.mu.Lock()
	defer k.mu.Unlock()
	for _, at := range k.kept {
		if at.academy == academy && at.bullpenID == bullpenID {
			return at, true
		}
	}
	return repsAt{}, false
}

// keep keeps what was read, unless somebody else has read a later revision.
func (k *keptReps) keep(now repsAt) {
	k.mu.Lock()
	defer k.mu.Unlock()
	i := slices.IndexFunc(k.kept, func(at repsAt) bool { return at.academy == now.academy && at.bullpenID == now.bullpenID })
	if i >= 0 {
		if k.kept[i].revision > now.revision {
			now = k.kept[i]
		}
		k.kept = slices.Delete(k.kept, i, i+1)
	}
	k.kept = slices.Insert(k.kept, 0, now)
	k.kept = k.kept[:min(len(k.kept), keptBullpens)]
}

// Reps lists a bullpen's reps as thrown. The caller may change them.
func (s *Store) Reps(ctx context.Context, bullpenID string) ([]bullpen.Rep, error) {
	tx, err := s.read.BeginTx(ctx, &sql.TxOptions{Isolation: sql.LevelRepeatableRead, ReadOnly: true}) // one state of the database for all that follows
	if err != nil {
		return nil, explain(err)
	}
	defer func() { _ = tx.Rollback() }() // it has written nothing
	now := repsAt{academy: s.own(ctx), bullpenID: bullpenID}
	var count int
	var latest int64
	err = tx.QueryRowContext(ctx, revisedQuery, bullpenID, now.academy).Scan(&now.revision, &count, &latest)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	if err != nil {
		return nil, explain(err)
	}
	before, known := s.kept.look(now.academy, bullpenID)
	written := latest > now.revision // by somebody who did not raise the revision
	switch {
	case known && before.revision == now.revision && !written:
		now = before
	case known && before.revision < now.revision:
		if now.reps, err = catchUp(ctx, tx, before); err != nil {
			return nil, err
		}
	}
	// Rows that went away without a trace show in the count.
	if len(now.reps) != count || written {
		if now.reps, err = all(ctx, tx, onlyRep, ledgerQuery, bullpenID, now.academy); err != nil {
			return nil, err
		}
	}
	if !written {
		s.kept.keep(now)
	}
	return owned(now.reps), nil
}

const (
	ledgerQuery = `SELECT ` + repFields + ` FROM reps r
	WHERE r.bullpen_id = ? AND r.deleted = 0 AND r.academy_id = ? ORDER BY r.place, r.id`

	revisedQuery = `SELECT b.revision, b.reps, (SELECT coalesce(max(revised), 0) FROM reps INDEXED BY reps_revised WHERE bullpen_id = b.id)
	FROM bullpens b WHERE b.id = ? AND b.academy_id = ?`

	sinceQuery = `SELECT ` + repFields + `, r.deleted FROM reps r INDEXED BY reps_revised
	WHERE r.bullpen_id = ? AND r.revised > ? AND r.academy_id = ?`
)

// catchUp returns the reps as they are after what has changed since before.
func catchUp(ctx context.Context, tx *sql.Tx, before repsAt) ([]bullpen.Rep, error) {
	type change struct {
		bullpen.Rep
		deleted int64
	}
	changes, err := all(ctx, tx, func(row scanner) (c change, err error) {
		c.Rep, err = repFrom(row, &c.deleted)
		return c, err
	}, sinceQuery, before.bullpenID, before.revision, before.academy)
	if err != nil {
		return nil, err
	}
	changed := make(map[string]bool, len(changes))
	for _, c := range changes {
		changed[c.ID] = true
	}
	reps := slices.DeleteFunc(slices.Clone(before.reps), func(r bullpen.Rep) bool { return changed[r.ID] })
	for _, c := range changes {
		if c.deleted == 0 {
			reps = append(reps, c.Rep)
		}
	}
	slices.SortFunc(reps, func(a, b bullpen.Rep) int {
		return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.ID, b.ID))
	})
	return reps, nil
}

// owned returns a copy that shares nothing with reps.
func owned(reps []bullpen.Rep) []bullpen.Rep {
	out, readings := slices.Clone(reps), make([]bullpen.Reading, len(reps))
	for i, r := range out {
		if r.Reading != nil {
			readings[i] = *r.Reading
			out[i].Reading = &readings[i]
		}
	}
	return out
}
