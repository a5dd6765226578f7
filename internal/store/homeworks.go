package store

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"

	"tenoff/internal/bullpen"
)

const homeworkFields = `h.id, h.version, h.pitcher_id, h.bullpen_id, h.created, h.workout, h.drills, h.due, h.student, h.draft, h.sent, h.film_at, h.review_at`

func homeworkFrom(row scanner, more ...any) (h bullpen.Homework, err error) {
	var workout, drills, student, draft, sent []byte
	err = row.Scan(append([]any{&h.ID, &h.Version, &h.PitcherID, &h.BullpenID, &h.Created, &workout, &drills, &h.Due, &student, &draft, &sent, &h.FilmAt, &h.ReviewAt}, more...)...)
	if err != nil {
		return h, err
	}
	for _, part := range []struct {
		text []byte
		into any
	}{{workout, &h.Workout}, {drills, &h.Drills}, {student, &h.Student}, {draft, &h.Draft}, {sent, &h.Sent}} {
		if err := json.Unmarshal(part.text, part.into); err != nil {
			return h, fmt.Errorf("homework %s: %w", h.ID, err)
		}
	}
	return h, nil
}

func onlyHomework(row scanner) (bullpen.Homework, error) { return homeworkFrom(row) }

// HomeworkCard is a homework in a list.
type HomeworkCard struct {
	bullpen.Homework
	PitcherLabel string
	Films        int // that were not refused
	Reps         int
}

// Homeworks lists homework, latest first, of one pitcher or of all ("").
func (s *Store) Homeworks(ctx context.Context, pitcherID string) ([]HomeworkCard, error) {
	if pitcherID != "" {
		return s.homeworks(ctx, `homeworks_by_pitcher`, `h.pitcher_id = ? AND h.academy_id = ?`, everyRow, pitcherID, s.own(ctx))
	}
	return s.homeworks(ctx, `homeworks_by_time`, `h.academy_id = ?`, everyRow, s.own(ctx))
}

// Inbox lists all homework whose answer does not stand for all that came, and of the
// others the latest few, latest first within each.
func (s *Store) Inbox(ctx context.Context, answered int) ([]HomeworkCard, error) {
	open, err := s.homeworks(ctx, `homeworks_settled`, `h.academy_id = ? AND h.settled = 0`, everyRow, s.own(ctx))
	if err != nil {
		return nil, err
	}
	settled, err := s.homeworks(ctx, `homeworks_settled`, `h.academy_id = ? AND h.settled = 1`, answered, s.own(ctx))
	return append(open, settled...), err
}

// everyRow is a limit that no list reaches.
const everyRow = math.MaxInt32

// homeworks lists at most so many.
func (s *Store) homeworks(ctx context.Context, index, where string, most int, args ...any) ([]HomeworkCard, error) {
	return all(ctx, s.read, func(row scanner) (c HomeworkCard, err error) {
		c.Homework, err = homeworkFrom(row, &c.PitcherLabel, &c.Films, &c.Reps)
		return c, err
	}, homeworksQuery(index, where), append(args, most)...)
}

func homeworksQuery(index, where string) string {
	return `SELECT ` + homeworkFields + `, p.label, (SELECT count(*) FROM films f WHERE f.bullpen_id = h.bullpen_id AND f.state <> 'refused'), b.reps
		FROM homeworks h INDEXED BY ` + index + ` CROSS JOIN pitchers p ON p.id = h.pitcher_id CROSS JOIN bullpens b ON b.id = h.bullpen_id
		WHERE ` + where + ` ORDER BY h.created DESC, h.id DESC LIMIT ?`
}

// Homework returns one homework.
func (s *Store) Homework(ctx context.Context, id string) (bullpen.Homework, error) {
	h, err := onlyHomework(s.read.QueryRowContext(ctx, `SELECT `+homeworkFields+` FROM homeworks h WHERE h.id = ? AND h.academy_id = ?`, id, s.own(ctx)))
	return h, one(err, "homework")
}

// HomeworkAnywhere returns a homework and the academy that it is in now: its pitcher may have
// moved.
func (s *Store) HomeworkAnywhere(ctx context.Context, id string) (h bullpen.Homework, academy string, err error) {
	h, err = homeworkFrom(s.read.QueryRowContext(ctx, `SELECT `+homeworkFields+`, h.academy_id FROM homeworks h WHERE h.id = ?`, id), &academy)
	return h, academy, one(err, "homework")
}

// HomeworkOf returns a bullpen's homework; ok is false for a bullpen that has none.
func (s *Store) HomeworkOf(ctx context.Context, bullpenID string) (h bullpen.Homework, ok bool, err error) {
	h, err = onlyHomework(s.read.QueryRowContext(ctx, `SELECT `+homeworkFields+` FROM homeworks h WHERE h.bullpen_id = ? AND h.academy_id = ?`, bullpenID, s.own(ctx)))
	err = one(err, "homework")
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return h, false, nil
	}
	return h, err == nil, err
}

// AddHomework hands a workout out: h has the pitcher, the workout, its drills and
// the day it is due. b is the bullpen for its films, made with it.
func (s *Store) AddHomework(ctx context.Context, h bullpen.Homework, b bullpen.Bullpen) (bullpen.Homework, error) {
	h.ID, h.Version = newID(), 1
	err := s.tx(ctx, func(tx *tx) error {
		b, err := s.addBullpen(tx, b, false)
		if err != nil {
			return err
		}
		h.BullpenID, h.PitcherID, h.Created = b.ID, b.PitcherID, tx.now
		fields, err := homeworkTexts(h)
		if err != nil {
			return err
		}
		_, err = tx.Exec(`INSERT INTO homeworks (id, academy_id, pitcher_id, bullpen_id, version, created, due, film_at, review_at, trimmed, workout, drills, student, draft, sent)
			VALUES (?, ?, ?, ?, 1, ?, ?, 0, 0, 0, ?, ?, ?, ?, ?)`,
			append([]any{h.ID, tx.academy, h.PitcherID, h.BullpenID, tx.now, h.Due}, fields...)...)
		return err
	})
	return h, err
}

// homeworkTexts returns workout, drills, student, draft and sent as stored.
func homeworkTexts(h bullpen.Homework) ([]any, error) {
	var out []any
	var errs []error
	for _, part := range []any{h.Workout, h.Drills, h.Student, h.Draft, h.Sent} {
		text, err := json.Marshal(part)
		out, errs = append(out, string(text)), append(errs, err)
	}
	return out, errors.Join(errs...)
}

// SaveHomework stores the day it is due, the draft and the reply that was sent, if
// h.Version is still the current one.
func (s *Store) SaveHomework(ctx context.Context, h bullpen.Homework) (bullpen.Homework, error) {
	err := s.tx(ctx, func(tx *tx) error { return s.saveHomework(tx, h) })
	h.Version++
	return h, err
}

func (s *Store) saveHomework(tx *tx, h bullpen.Homework) error {
	fields, err := homeworkTexts(h)
	if err != nil {
		return err
	}
	if err := tx.update("homework", "homeworks", h.ID, h.Version, `due = ?, draft = ?, sent = ?`, h.Due, fields[3], fields[4]); err != nil {
		return err
	}
	_, err = tx.touch(h.BullpenID)
	return err
}

// SendReply makes the draft the reply that the slip's page shows, with what is shown
// beside its words and copies of its clips, if h.Version is still the current one;
// h.Sent.Seen says until when what came had been seen. The
// copies of the reply before go; their files are the caller's to remove.
func (s *Store) SendReply(ctx context.Context, h bullpen.Homework, shown *bullpen.Shown, copies []ClipCopy) (_ bullpen.Homework, loose []File, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		seen := h.Sent.Seen
		h.Sent = h.Draft
		h.Sent.SentAt, h.Sent.Seen, h.Sent.Shown = tx.now, seen, shown
		if loose, err = tx.uncopy(h.ID); err != nil {
			return err
		}
		if h.Sent.Copies, err = tx.copyClips(h.ID, copies); err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE homeworks SET trimmed = 0 WHERE id = ? AND academy_id = ?`, h.ID, tx.academy); err != nil {
			return err
		}
		return s.saveHomework(tx, h)
	})
	h.Version++
	return h, loose, err
}

// BeginReview notes that somebody looks at what came.
func (s *Store) BeginReview(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		err := tx.QueryRow(`UPDATE homeworks SET review_at = ? WHERE id = ? AND academy_id = ? RETURNING bullpen_id`, tx.now, id, tx.academy).Scan(&bullpenID)
		if err != nil {
			return one(err, "homework")
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// FilmCame notes that a film of a homework has arrived.
func (s *Store) FilmCame(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE homeworks SET film_at = ? WHERE id = ? AND academy_id = ?`, tx.now, id, tx.academy)
		return hit(res, err, "homework")
	})
}

// SaveStudent stores what the student wrote, and when if her note is another one than
// before; her readings go to the reps that lie on their places and have none.
func (s *Store) SaveStudent(ctx context.Context, id string, words bullpen.Student) error {
	return s.tx(ctx, func(tx *tx) error {
		h, err := onlyHomework(tx.QueryRow(`SELECT `+homeworkFields+` FROM homeworks h WHERE h.id = ? AND h.academy_id = ?`, id, tx.academy))
		if err != nil {
			return one(err, "homework")
		}
		hers := h.Writes(words.Note, tx.now)
		hers.Gun, hers.Readings = words.Gun, words.Readings
		text, err := json.Marshal(hers)
		if err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE homeworks SET student = ? WHERE id = ?`, string(text), id); err != nil {
			return err
		}
		if err := tx.layReps(h.BullpenID); err != nil {
			return err
		}
		_, err = tx.touch(h.BullpenID)
		return err
	})
}

// NeedsNoAnswer notes that what had come until then, microseconds UTC, was seen and needs
// no other answer than the one that was sent. A homework without an answer is refused.
func (s *Store) NeedsNoAnswer(ctx context.Context, id string, seen int64) error {
	return s.tx(ctx, func(tx *tx) error {
		h, err := onlyHomework(tx.QueryRow(`SELECT `+homeworkFields+` FROM homeworks h WHERE h.id = ? AND h.academy_id = ?`, id, tx.academy))
		if err != nil {
			return one(err, "homework")
		}
		if h.Sent.SentAt == 0 {
			return bullpen.Errorf(bullpen.Invalid, "This homework has no answer yet; write one in the film room.")
		}
		h.Sent.Seen = max(h.Sent.Seen, min(seen, tx.now))
		if _, err := tx.Exec(`UPDATE homeworks SET review_at = 0 WHERE id = ?`, id); err != nil {
			return err
		}
		return s.saveHomework(tx, h)
	})
}

// TrimHomework returns the originals of homework that was answered before the given
// time, microseconds UTC, and notes that they were let go. The files are the caller's to
// remove; what was made of them stays. Those of homework that was answered before its
// pitcher came from another instructor stay until it is answered again: another rule was
// set for them.
func (s *Store) TrimHomework(ctx context.Context, before int64) (loose []File, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		old, err := all(ctx, tx.Tx, onlyHomework, `SELECT `+homeworkFields+` FROM homeworks h WHERE h.academy_id = ? AND h.trimmed = 0
			AND CAST(h.sent ->> 'sentAt' AS BIGINT) > 0 AND CAST(h.sent ->> 'sentAt' AS BIGINT) < ? AND CAST(h.sent ->> 'sentAt' AS BIGINT) > h.moved AND h.film_at < ?
			AND coalesce(CAST(h.student ->> 'NotedAt' AS BIGINT), 0) < ? AND coalesce(CAST(h.student ->> 'PainAt' AS BIGINT), 0) < ?`, tx.academy, before, before, before, before)
		if err != nil {
			return err
		}
		for _, h := range old {
			files, err := tx.trim(h)
			if err != nil {
				return err
			}
			loose = slices.Concat(loose, files)
		}
		return nil
	})
	return loose, err
}

func (t *tx) trim(h bullpen.Homework) ([]File, error) {
	files, err := all(t.ctx, t.Tx, fileFrom, `SELECT k.key, k.bytes FROM files k JOIN films f ON f.id = k.film_id
		WHERE f.bullpen_id = ? AND f.state = 'ready' AND k.key IN (f.made ->> 'original', f.made -> 'cut' ->> 'key')`, h.BullpenID)
	if err != nil {
		return nil, err
	}
	for _, f := range files {
		if _, err := t.Exec(`UPDATE files SET film_id = NULL WHERE key = ?`, f.Key); err != nil {
			return nil, err
		}
	}
	if _, err := t.Exec(`UPDATE homeworks SET trimmed = ? WHERE id = ?`, t.now, h.ID); err != nil {
		return nil, err
	}
	_, err = t.touch(h.BullpenID)
	return files, err
}
