package store

import (
	"context"
	"slices"
	"time"

	"tenoff/internal/bullpen"
)

// Move is what an instructor is told of a pitcher who went to another, or came from one.
type Move struct {
	ID        string
	PitcherID string
	Label     string // as she was called then
	Other     string // the name of the other instructor, "" for one who is no more
	Came      bool   // she came; else she went
	At        time.Time
}

// hers are the tables with rows of a pitcher, ?2 her ID, and which rows those are. What is
// not here stays with the instructor: her drills, workouts, levels and settings.
var hers = []struct{ table, which string }{
	{"pitchers", `id = ?2`},
	{"bullpens", `pitcher_id = ?2`},
	{"reps", `pitcher_id = ?2`},
	{"consents", `pitcher_id = ?2`},
	{"homeworks", `pitcher_id = ?2`},
	{"field_entries", `pitcher_id = ?2`},
	{"films", herPens}, {"clips", herPens}, {"jobs", herPens}, {"shares", herPens},
	{"weeks", herPens}, {"field_links", herPens}, {"field_joins", herPens}, {"field_matches", herPens},
	{"proposals", herFilms}, {"instants", herFilms}, {"followed", herFilms}, {"joints", herFilms},
	{"laid", herReps}, {"drawings", herReps}, {"accepted", herReps},
	{"slips", `homework_id IN (SELECT id FROM homeworks WHERE pitcher_id = ?2)`},
	{"files", herFilms + ` OR ` + herClips}, {"shared_clips", herClips},
}

const (
	herPens  = `bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = ?2)`
	herFilms = `film_id IN (SELECT f.id FROM films f JOIN bullpens b ON b.id = f.bullpen_id WHERE b.pitcher_id = ?2)`
	herClips = `clip_id IN (SELECT c.id FROM clips c JOIN bullpens b ON b.id = c.bullpen_id WHERE b.pitcher_id = ?2)`
	herReps  = `rep_id IN (SELECT id FROM reps WHERE pitcher_id = ?2)`
)

// MovePitcher gives a pitcher, with all her bullpens, films, clips and homework, to another
// instructor's account. Both are told, see Moves. It is refused while one of her films is
// being worked at. A clip of hers that is an example of the instructor's drills is one no
// longer. version 0 is whatever it is now; eye is how closely the instructor who gives her
// away marks, seconds, and stays with what was marked so far.
//
// What was agreed with one instructor is not agreed with another: her guardian's consents
// go along but count no more, so that her links are closed, those to the field page of her
// bullpens too, and originals of answered homework wait for the new instructor's answer,
// whatever her setting.
func (s *Store) MovePitcher(ctx context.Context, pitcherID string, version int64, toAccount string, eye float64) error {
	from := s.own(ctx)
	var to, name string
	if err := s.read.QueryRowContext(ctx, `SELECT coalesce((SELECT academy_id FROM accounts WHERE id = ?), '')`, toAccount).Scan(&to); err != nil {
		return explain(err)
	}
	turns := []string{from}
	if to != "" && to != from {
		turns = append(turns, to)
	}
	slices.Sort(turns) // two who move pitchers to one another do not wait for each other
	return s.inTurn(ctx, turns[0], func(tx *tx) error {
		for _, turn := range append(turns[1:], theQueue) { // nobody takes a job of hers meanwhile
			if _, err := s.engine.begin(ctx, tx.Tx, turn); err != nil {
				return err
			}
		}
		if err := tx.seen("pitcher", "pitchers", pitcherID, version); err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT name FROM accounts WHERE id = ? AND academy_id = ?`, toAccount, to).Scan(&name); err != nil {
			return one(err, "instructor")
		}
		if to == from {
			return bullpen.Errorf(bullpen.Invalid, "She is your own pitcher already; choose another instructor.")
		}
		var label string
		var running int
		if err := tx.QueryRow(`SELECT label, (SELECT count(*) FROM jobs WHERE state = 'running' AND bullpen_id IN (SELECT id FROM bullpens WHERE pitcher_id = pitchers.id)) FROM pitchers WHERE id = ?`, pitcherID).Scan(&label, &running); err != nil {
			return err
		}
		if running > 0 {
			return bullpen.Errorf(bullpen.Conflict, "One of %s's films or clips is being worked at; move her when that is done.", label)
		}
		if _, err := tx.Exec(`UPDATE drills SET clip_id = NULL, version = version + 1 WHERE academy_id = ?1 AND `+herClips, from, pitcherID); err != nil {
			return err
		}
		for _, of := range hers {
			if _, err := tx.Exec(`UPDATE `+of.table+` SET academy_id = ?1 WHERE `+of.which, to, pitcherID); err != nil {
				return err
			}
		}
		if err := tx.unsettle(from, pitcherID, eye); err != nil {
			return err
		}
		if err := tx.tellMove(from, to, pitcherID, label, toAccount); err != nil {
			return err
		}
		// Levels are each instructor's own: what is judged by them is judged anew.
		tx.academy, tx.jobs, tx.queue = to, true, true
		return tx.touchAll(`SELECT id FROM bullpens WHERE pitcher_id = ?`, pitcherID)
	})
}

// unsettle takes back what was settled between a pitcher and the instructor whom she leaves.
func (t *tx) unsettle(from, pitcherID string, eye float64) error {
	var name string
	if err := t.QueryRow(`SELECT coalesce((SELECT name FROM accounts WHERE academy_id = ? ORDER BY created LIMIT 1), '')`, from).Scan(&name); err != nil {
		return err
	}
	if name == "" {
		name = "another instructor"
	}
	for _, change := range []struct {
		statement string
		to        any
	}{
		{`UPDATE consents SET given_to = ?1 WHERE pitcher_id = ?2 AND given_to = ''`, name},
		{`UPDATE homeworks SET moved = ?1 WHERE pitcher_id = ?2 AND CAST(sent ->> 'sentAt' AS BIGINT) > 0`, t.now},
		{`UPDATE bullpens SET eye = ?1 WHERE pitcher_id = ?2 AND eye < ?1`, eye},
		// Whoever holds the phone at her field was asked by the instructor whom she leaves.
		{`UPDATE field_links SET closed = ?1 WHERE closed = 0 AND ` + herPens, t.now},
	} {
		if _, err := t.Exec(change.statement, change.to, pitcherID); err != nil {
			return err
		}
	}
	_, err := t.endUnconsented(pitcherID)
	return err
}

// MovedEye is how closely whoever marked a bullpen before it came to its instructor marks,
// seconds; 0 where it never moved.
func (s *Store) MovedEye(ctx context.Context, bullpenID string) (eye float64, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT eye FROM bullpens WHERE id = ? AND academy_id = ?`, bullpenID, s.own(ctx)).Scan(&eye)
	return eye, one(err, "bullpen")
}

// tellMove stores what both instructors are told.
func (t *tx) tellMove(from, to, pitcherID, label, toAccount string) error {
	var fromAccount any // an academy without an account is nobody's
	var id string
	if err := t.QueryRow(`SELECT coalesce((SELECT id FROM accounts WHERE academy_id = ? ORDER BY created LIMIT 1), '')`, from).Scan(&id); err != nil {
		return err
	}
	if id != "" {
		fromAccount = id
	}
	const add = `INSERT INTO moves (id, academy_id, pitcher_id, label, other_id, came, created) VALUES (?, ?, ?, ?, ?, ?, ?)`
	if _, err := t.Exec(add, newID(), from, pitcherID, label, toAccount, 0, t.now); err != nil {
		return err
	}
	_, err := t.Exec(add, newID(), to, pitcherID, label, fromAccount, 1, t.now)
	return err
}

// Moves lists what the academy's instructor was told and has not put away, latest first.
func (s *Store) Moves(ctx context.Context) ([]Move, error) {
	return all(ctx, s.read, func(row scanner) (m Move, err error) {
		var at int64
		err = row.Scan(&m.ID, &m.PitcherID, &m.Label, &m.Other, &m.Came, &at)
		m.At = time.UnixMicro(at).UTC()
		return m, err
	}, `SELECT m.id, m.pitcher_id, m.label, coalesce(a.name, ''), m.came, m.created FROM moves m LEFT JOIN accounts a ON a.id = m.other_id
		WHERE m.academy_id = ? ORDER BY m.created DESC, m.id DESC`, s.own(ctx))
}

// ForgetMove puts away what the instructor was told.
func (s *Store) ForgetMove(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`DELETE FROM moves WHERE id = ? AND academy_id = ?`, id, tx.academy)
		return hit(res, err, "message")
	})
}
