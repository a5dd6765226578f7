package store

import (
	"context"
	"encoding/json"

	"tenoff/internal/bullpen"
)

// Verdicts are what a bullpen's reps were judged to be when it was at a revision.
type Verdicts struct {
	BullpenID string
	Revision  int64
	Of        map[string]bullpen.Verdict // by rep; Pending for one that is not named
	Glance    bullpen.Glance
	Spreads   bullpen.Spreads // of its readings, for her bullpens after it
	Week      []byte          // what it adds to what is followed over weeks, JSON
}

// KeptWeek is what a bullpen adds to what is followed over weeks, as it was stored.
type KeptWeek struct {
	BullpenID string
	Revision  int64
	Week      []byte // JSON
}

// KeptWeeks returns those of a pitcher's bullpens that are stored as they follow from the
// bullpens now, by this method.
func (s *Store) KeptWeeks(ctx context.Context, pitcherID, method string) ([]KeptWeek, error) {
	if by, err := s.Setting(ctx, judgedBy); err != nil || by != method {
		return nil, err
	}
	return all(ctx, s.read, func(row scanner) (k KeptWeek, err error) {
		return k, row.Scan(&k.BullpenID, &k.Revision, &k.Week)
	}, keptWeeksQuery, pitcherID, s.own(ctx))
}

const keptWeeksQuery = `SELECT b.id, b.revision, w.week FROM pitchers p
	JOIN bullpens b INDEXED BY bullpens_by_pitcher ON b.pitcher_id = p.id JOIN weeks w ON w.bullpen_id = b.id
	WHERE p.id = ? AND p.behind = 0 AND b.academy_id = ? AND b.judged = b.revision`

// judgedBy is the academy's setting that says by what its stored verdicts were made.
const judgedBy = "judged by"

// Unjudged lists bullpens, at most so many, whose reps' verdicts are not stored as they
// follow from the bullpen now, those never judged first. Verdicts that were made by another
// method than this one are not believed.
func (s *Store) Unjudged(ctx context.Context, method string, most int) ([]string, error) {
	by, err := s.Setting(ctx, judgedBy)
	if err != nil {
		return nil, err
	}
	if by != method {
		if err := s.doubtVerdicts(ctx, method); err != nil {
			return nil, err
		}
	}
	return all(ctx, s.read, text, unjudgedQuery, s.own(ctx), most)
}

const unjudgedQuery = `SELECT id FROM bullpens INDEXED BY bullpens_unjudged WHERE academy_id = ? AND judged <> revision ORDER BY judged LIMIT ?`

// doubtVerdicts has all of an academy's verdicts made again, by another method.
func (s *Store) doubtVerdicts(ctx context.Context, method string) error {
	return s.tx(ctx, func(tx *tx) error {
		if _, err := tx.Exec(`UPDATE bullpens SET judged = 0 WHERE academy_id = ? AND judged <> 0`, tx.academy); err != nil {
			return err
		}
		_, err := tx.Exec(`INSERT INTO settings (academy_id, name, value) VALUES (?, ?, ?)
			ON CONFLICT (academy_id, name) DO UPDATE SET value = excluded.value`, tx.academy, judgedBy, method)
		return err
	})
}

// KeepVerdicts stores bullpens' verdicts, but for those bullpens that have moved on. No
// revision rises: nothing has changed that somebody would have to read again.
func (s *Store) KeepVerdicts(ctx context.Context, made []Verdicts) error {
	return s.tx(ctx, func(tx *tx) error {
		for _, v := range made {
			if err := tx.keepVerdicts(v); err != nil {
				return err
			}
		}
		return nil
	})
}

func (t *tx) keepVerdicts(v Verdicts) error {
	glance, err := json.Marshal(v.Glance)
	if err != nil {
		return err
	}
	spreads := []byte("{}")
	if len(v.Spreads) > 0 {
		if spreads, err = json.Marshal(v.Spreads); err != nil {
			return err
		}
	}
	res, err := t.Exec(`UPDATE bullpens SET judged = revision, glance = ?, asked = ?, spreads = ? WHERE id = ? AND revision = ? AND academy_id = ?`,
		string(glance), v.Glance.Asked, string(spreads), v.BullpenID, v.Revision, t.academy)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return err
	}
	if _, err := t.Exec(`INSERT INTO weeks (bullpen_id, academy_id, week) VALUES (?, ?, ?) ON CONFLICT (bullpen_id) DO UPDATE SET week = excluded.week`,
		v.BullpenID, t.academy, string(v.Week)); err != nil {
		return err
	}
	type kept struct {
		id      string
		verdict bullpen.Verdict
	}
	before, err := all(t.ctx, t.Tx, func(row scanner) (k kept, err error) { return k, row.Scan(&k.id, &k.verdict) },
		`SELECT id, verdict FROM reps INDEXED BY reps_by_bullpen WHERE bullpen_id = ? AND deleted = 0`, v.BullpenID)
	for _, k := range before {
		if now := v.Of[k.id]; err == nil && now != k.verdict {
			_, err = t.Exec(`UPDATE reps SET verdict = ? WHERE id = ?`, now, k.id)
		}
	}
	return err
}
