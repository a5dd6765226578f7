package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
)

// tx is one writing transaction with one fixed "now", in microseconds UTC.
type tx struct {
	*sql.Tx
	ctx      context.Context
	academy  string
	now      int64
	changed  map[string]int64 // bullpens whose revision rose, and to what
	jobs     bool             // a job changed
	queue    bool             // there may be a job to take or to stop
	sessions bool             // somebody was signed out
	behind   bool             // revisions are still to rise, see behind.go
	marked   map[string]markedFilm
}

// theQueue is the turn that whoever takes a job waits for: no two look at once which
// subjects are free.
const theQueue = "the queue"

// tx runs do in one writing transaction; what changed is told after the commit. Within an
// academy they come one after the other.
func (s *Store) tx(ctx context.Context, do func(*tx) error) error {
	return s.inTurn(ctx, s.own(ctx), do)
}

// inTurn is tx for what waits for another turn than the academy's.
func (s *Store) inTurn(ctx context.Context, turn string, do func(*tx) error) error {
	sqlTx, err := s.write.BeginTx(ctx, nil)
	if err != nil {
		return explain(err)
	}
	t := &tx{Tx: sqlTx, ctx: ctx, academy: s.own(ctx), changed: map[string]int64{}, marked: map[string]markedFilm{}}
	if t.now, err = s.engine.begin(ctx, sqlTx, turn); err == nil {
		if !s.engine.ours() {
			s.skew.Store(t.now - s.now().UnixMicro())
		}
		err = do(t)
	}
	if err == nil {
		err = s.engine.tell(t)
	}
	if err != nil {
		return errors.Join(explain(givenUp(ctx, err)), ignoreDone(sqlTx.Rollback()))
	}
	if err := sqlTx.Commit(); err != nil {
		return explain(givenUp(ctx, err))
	}
	s.hub.tell(t.changes()...)
	return nil
}

// givenUp is why a transaction was taken back before its end where its asker has gone: any
// statement and the commit say then only that it is done.
func givenUp(ctx context.Context, err error) error {
	if errors.Is(err, sql.ErrTxDone) && ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}

func ignoreDone(err error) error {
	if errors.Is(err, sql.ErrTxDone) {
		return nil
	}
	return err
}

// touch raises a bullpen's revision and counts its reps anew. Where a rep has changed in
// one with readings, it raises that of her bullpens whose judging goes by it as well.
func (t *tx) touch(bullpenID string) (revision int64, err error) {
	if bullpenID == "" {
		return 0, nil
	}
	var before, now int // readings
	var reps bool
	err = t.QueryRow(`SELECT readings FROM bullpens WHERE id = ?`, bullpenID).Scan(&before)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, notFound("bullpen")
	}
	if err != nil {
		return 0, err
	}
	err = t.QueryRow(`UPDATE bullpens SET revision = revision + 1, (reps, readings, warm_ups, usual) =
			(SELECT count(*), count(reading), coalesce(sum(warm_up), 0), `+usualMean+` FROM reps r WHERE r.bullpen_id = bullpens.id AND r.deleted = 0)
		WHERE id = ? RETURNING revision, readings,
			EXISTS (SELECT 1 FROM reps INDEXED BY reps_revised WHERE bullpen_id = bullpens.id AND revised = revision)`, bullpenID).Scan(&revision, &now, &reps)
	if err != nil {
		return 0, err
	}
	t.changed[bullpenID] = revision
	if reps && before+now > 0 {
		err = t.touchAfterIt(bullpenID)
	}
	return revision, err
}

// update runs an UPDATE ... WHERE id = ? AND version = ? and tells a stale
// version from a missing row. set may be empty: only the version rises then.
func (t *tx) update(what, table, id string, version int64, set string, args ...any) error {
	if set != "" {
		set = ", " + set
	}
	args = append(args, id, version, t.academy)
	res, err := t.Exec(fmt.Sprintf(`UPDATE %s SET version = version + 1%s WHERE id = ? AND version = ? AND academy_id = ?`, table, set), args...)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 1 {
		return err
	}
	var exists int
	if err := t.QueryRow(fmt.Sprintf(`SELECT count(*) FROM %s WHERE id = ? AND academy_id = ?`, table), id, t.academy).Scan(&exists); err != nil {
		return err
	}
	if exists == 0 {
		return notFound(what)
	}
	return stale(what)
}
