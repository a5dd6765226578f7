package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"

	"tenoff/internal/bullpen"
)

// Film is a film with what was made of it.
type Film struct {
	bullpen.Film
	Made FilmFiles
	// FoundBy is FilmFindings.FoundBy of the last search for its reps.
	FoundBy string
	// Finder is FilmFindings.Finder of it.
	Finder int
}

// Steppable reports whether the film's frames can be shown and marked: it was read, or
// its original can be stepped until it was.
func (f Film) Steppable() bool {
	return f.State == bullpen.FilmReady || f.State == bullpen.FilmReading && f.Made.Opened
}

const filmFields = `f.id, f.version, f.bullpen_id, f.name, f.sha256, f.bytes, f.state, f.refusal, f.position, f.recorded,
	f.width, f.height, f.codec, f.hdr, f.has_sound, f.clock_num, f.clock_den, f.ticks, f.slow, f.slow_known, f.view, f.found_box, f.box, f.found_slow, f.too_short, f.found_by, f.finder, f.sound_late, f.made`

func filmFrom(row scanner) (f Film, err error) {
	var ticks, made []byte
	var foundBox, box string
	err = row.Scan(&f.ID, &f.Version, &f.BullpenID, &f.Name, &f.SHA256, &f.Bytes, &f.State, &f.Refusal, &f.Position, &f.Recorded,
		&f.Width, &f.Height, &f.Codec, &f.HDR, &f.HasSound, &f.Clock.Num, &f.Clock.Den, &ticks, &f.Clock.Slow, &f.SlowKnown, &f.View, &foundBox, &box, &f.FoundSlow, &f.TooShort, &f.FoundBy, &f.Finder, &f.SoundLate, &made)
	if err != nil {
		return f, err
	}
	if f.Clock.Ticks, err = unpackTicks(ticks); err != nil {
		return f, fmt.Errorf("clock of film %s: %w", f.ID, err)
	}
	if f.FoundBox, err = unpackBox(foundBox); err == nil {
		f.Box, err = unpackBox(box)
	}
	if err != nil {
		return f, fmt.Errorf("box of film %s: %w", f.ID, err)
	}
	if err := json.Unmarshal(made, &f.Made); err != nil {
		return f, fmt.Errorf("files of film %s: %w", f.ID, err)
	}
	return f, nil
}

// Films lists a bullpen's films in order, refused ones too.
func (s *Store) Films(ctx context.Context, bullpenID string) ([]Film, error) {
	return all(ctx, s.read, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.bullpen_id = ? AND f.academy_id = ? ORDER BY f.position, f.id`, bullpenID, s.own(ctx))
}

// UnsettledFilms lists films that are arriving, being read, or refused and not yet
// dismissed.
func (s *Store) UnsettledFilms(ctx context.Context) ([]Film, error) {
	return all(ctx, s.read, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.academy_id = ? AND f.state <> 'ready' ORDER BY f.created, f.id`, s.own(ctx))
}

// Film returns one film.
func (s *Store) Film(ctx context.Context, id string) (Film, error) {
	f, err := filmFrom(s.read.QueryRowContext(ctx, `SELECT `+filmFields+` FROM films f WHERE f.id = ? AND f.academy_id = ?`, id, s.own(ctx)))
	return f, one(err, "film")
}

// FilmBySum returns the bullpen's film with that SHA-256, if it has one that was
// not refused.
func (s *Store) FilmBySum(ctx context.Context, bullpenID, sum string) (Film, bool, error) {
	f, err := filmFrom(s.read.QueryRowContext(ctx, `SELECT `+filmFields+` FROM films f
		WHERE f.bullpen_id = ? AND f.sha256 = ? AND f.state <> 'refused' AND f.academy_id = ?`, bullpenID, sum, s.own(ctx)))
	if errors.Is(err, sql.ErrNoRows) {
		return Film{}, false, nil
	}
	return f, err == nil, explain(err)
}

// NewFilmID returns an ID for a film whose file is stored before its row.
func NewFilmID() string { return newID() }

// AddFilm stores a film that has arrived, names its file, and queues the job that
// reads it, together. f.ID and f.Made.Original must be set. The film is put behind
// the bullpen's others. If the bullpen has one with the same SHA-256 already, that
// one is returned and there is true; one that was refused is replaced.
func (s *Store) AddFilm(ctx context.Context, f Film, job NewJob) (_ Film, there bool, err error) {
	f.Version = 1
	made, err := json.Marshal(f.Made)
	if err != nil {
		return f, false, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", f.BullpenID); err != nil {
			return err
		}
		same, err := filmFrom(tx.QueryRow(`SELECT `+filmFields+` FROM films f WHERE f.bullpen_id = ? AND f.sha256 = ? AND f.state <> 'refused'`, f.BullpenID, f.SHA256))
		if err == nil {
			f, there = same, true
			return nil
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if _, err := tx.Exec(`DELETE FROM films WHERE bullpen_id = ? AND sha256 = ?`, f.BullpenID, f.SHA256); err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT coalesce(max(position) + 1, 0) FROM films WHERE bullpen_id = ?`, f.BullpenID).Scan(&f.Position); err != nil {
			return err
		}
		_, err = tx.Exec(`INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position,
			recorded, width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			VALUES (?, ?, ?, 1, ?, ?, ?, ?, ?, '', ?, 0, 0, 0, '', 0, 0, 0, 0, ?, 1, 0, '', ?)`,
			f.ID, s.own(ctx), f.BullpenID, tx.now, f.Name, f.SHA256, f.Bytes, f.State, f.Position, packTicks(nil), string(made))
		if err != nil {
			return err
		}
		if err := tx.name("film_id", f.ID, []File{{Key: f.Made.Original, Bytes: f.Bytes}}); err != nil {
			return err
		}
		job.Subject, job.BullpenID = f.ID, f.BullpenID
		if _, err := s.addJob(tx, job); err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	return f, there, err
}

// FilmOpened stores what a film says of itself before it is read, with its clock if it
// can be stepped already (f.Made.Opened), and queues the job that reads it, together.
// The bullpen's films come into their order, and it takes its day, as in FilmRead. A film
// that somebody removed or read meanwhile is NotFound.
func (s *Store) FilmOpened(ctx context.Context, f Film, job NewJob) error {
	made, err := json.Marshal(f.Made)
	if err != nil {
		return err
	}
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE films SET recorded = ?, width = ?, height = ?, codec = ?, hdr = ?, has_sound = ?,
			clock_num = ?, clock_den = ?, ticks = ?,
			slow = CASE WHEN slow_known <> 0 THEN slow ELSE ? END, slow_known = CASE WHEN slow_known <> 0 THEN 1 ELSE ? END, made = ? WHERE id = ? AND state = 'reading' AND academy_id = ?`,
			f.Recorded, f.Width, f.Height, f.Codec, f.HDR, f.HasSound, f.Clock.Num, f.Clock.Den, packTicks(f.Clock.Ticks),
			f.Clock.Slow, f.SlowKnown, string(made), f.ID, s.own(ctx))
		if err := hit(res, err, "film"); err != nil {
			return err
		}
		job.Subject, job.BullpenID = f.ID, f.BullpenID
		if _, err := s.addJob(tx, job); err != nil {
			return err
		}
		if err := arrange(tx, f.BullpenID); err != nil {
			return err
		}
		if err := tx.dayOf(f.Film); err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
}

// FilmGrew tells those who watch a film's bullpen that more of the film can be shown than
// before, though nothing that is stored has changed.
func (s *Store) FilmGrew(ctx context.Context, id string) error {
	return s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		err := tx.QueryRow(`SELECT bullpen_id FROM films WHERE id = ? AND academy_id = ?`, id, s.own(ctx)).Scan(&bullpenID)
		if err != nil {
			return one(err, "film")
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// FilmRead stores what reading a film found, names the files that were made (the
// original not among them), and puts the bullpen's films in the order they were
// filmed. A slow factor that the user set stays. The first film that knows its day
// gives it to a bullpen whose day nobody chose. It returns the files that an
// earlier reading had made. Marks that were set before stay on their pictures: where the
// film has other frames than it promised they move to the index that their frame has now.
func (s *Store) FilmRead(ctx context.Context, f Film, files []File) (loose []File, err error) {
	made, err := json.Marshal(f.Made)
	if err != nil {
		return nil, err
	}
	kept := []string{f.Made.Original}
	for _, file := range files {
		kept = append(kept, file.Key)
	}
	err = s.tx(ctx, func(tx *tx) error {
		before, err := filmFrom(tx.QueryRow(`SELECT `+filmFields+` FROM films f WHERE f.id = ? AND f.academy_id = ?`, f.ID, s.own(ctx)))
		if err != nil {
			return one(err, "film")
		}
		if err := tx.moveMarks(before, f); err != nil {
			return err
		}
		res, err := tx.Exec(`UPDATE films SET version = version + 1, state = 'ready', refusal = '', recorded = ?, width = ?, height = ?, codec = ?,
			hdr = ?, has_sound = ?, clock_num = ?, clock_den = ?, ticks = ?,
			slow = CASE WHEN slow_known <> 0 THEN slow ELSE ? END, slow_known = CASE WHEN slow_known <> 0 THEN 1 ELSE ? END, made = ? WHERE id = ? AND academy_id = ?`,
			f.Recorded, f.Width, f.Height, f.Codec, f.HDR, f.HasSound, f.Clock.Num, f.Clock.Den, packTicks(f.Clock.Ticks),
			f.Clock.Slow, f.SlowKnown, string(made), f.ID, s.own(ctx))
		if err := hit(res, err, "film"); err != nil {
			return err
		}
		if loose, err = tx.loosen("film_id", f.ID, kept...); err != nil {
			return err
		}
		if err := tx.name("film_id", f.ID, files); err != nil {
			return err
		}
		if err := arrange(tx, f.BullpenID); err != nil {
			return err
		}
		if err := tx.dayOf(f.Film); err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	return loose, err
}

// dayOf gives the film's day to its bullpen if nobody chose that.
func (t *tx) dayOf(f bullpen.Film) error {
	if f.Recorded == 0 {
		return nil
	}
	day := time.UnixMicro(f.Recorded).Local().Format(time.DateOnly) // where the instructor is
	if _, err := t.Exec(`UPDATE reps SET day = ? WHERE bullpen_id = (SELECT id FROM bullpens WHERE id = ? AND day_said = 0)`, day, f.BullpenID); err != nil {
		return err
	}
	was, _, err := bullpenFrom(t.QueryRow(`SELECT `+bullpenFields+` FROM bullpens b WHERE b.id = ?`, f.BullpenID))
	if err != nil {
		return one(err, "bullpen")
	}
	res, err := t.Exec(`UPDATE bullpens SET day = ?, day_said = 1, version = version + 1 WHERE id = ? AND day_said = 0`, day, f.BullpenID)
	if err != nil {
		return err
	}
	if n, err := res.RowsAffected(); err != nil || n == 0 {
		return err
	}
	now := was
	now.Day = day
	return t.moved(was, now)
}

// FilmMeasured names the traces that were measured anew of a film, the rest of what
// was made of it stays. It returns the traces that it had.
func (s *Store) FilmMeasured(ctx context.Context, id string, motion, sound File) (loose []File, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		f, err := filmFrom(tx.QueryRow(`SELECT `+filmFields+` FROM films f WHERE f.id = ? AND f.academy_id = ?`, id, s.own(ctx)))
		if err != nil {
			return one(err, "film")
		}
		old := map[string]bool{f.Made.Motion: true, f.Made.Sound: true}
		f.Made.Motion, f.Made.Sound = motion.Key, sound.Key
		made, err := json.Marshal(f.Made)
		if err != nil {
			return err
		}
		if _, err := tx.Exec(`UPDATE films SET made = ? WHERE id = ?`, string(made), id); err != nil {
			return err
		}
		named, err := all(ctx, tx.Tx, fileFrom, `SELECT key, bytes FROM files WHERE film_id = ?`, id)
		if err != nil {
			return err
		}
		var kept []string
		for _, file := range named {
			if !old[file.Key] {
				kept = append(kept, file.Key)
			}
		}
		if loose, err = tx.loosen("film_id", id, kept...); err != nil {
			return err
		}
		files := []File{motion}
		if sound.Key != "" {
			files = append(files, sound)
		}
		if err := tx.name("film_id", id, files); err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	return loose, err
}

// ReadyFilms lists all films that were read.
func (s *Store) ReadyFilms(ctx context.Context) ([]Film, error) {
	return all(ctx, s.read, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.academy_id = ? AND f.state = 'ready' ORDER BY f.created, f.id`, s.own(ctx))
}

// FilmedBullpens lists the bullpens that have films which were read.
func (s *Store) FilmedBullpens(ctx context.Context) ([]string, error) {
	return all(ctx, s.read, text, `SELECT DISTINCT bullpen_id FROM films WHERE academy_id = ? AND state = 'ready'`, s.own(ctx))
}

// RefuseFilm keeps the sentence that says why a film can't be used, and lets go of
// its files, which it returns.
func (s *Store) RefuseFilm(ctx context.Context, id, sentence string) (loose []File, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		err := tx.QueryRow(`UPDATE films SET version = version + 1, state = 'refused', refusal = ?, made = '{}' WHERE id = ? AND academy_id = ? RETURNING bullpen_id`,
			sentence, id, s.own(ctx)).Scan(&bullpenID)
		if err != nil {
			return one(err, "film")
		}
		if loose, err = tx.loosen("film_id", id); err != nil {
			return err
		}
		_, err = tx.touch(bullpenID)
		return err
	})
	return loose, err
}

// SaveFilm stores what a user may change of a film (slow factor, view, box, position)
// if f.Version is still the current one. A new position moves the others along and
// the reps with them; from then on the films of this bullpen stay as they were put.
func (s *Store) SaveFilm(ctx context.Context, f bullpen.Film) (Film, error) {
	return s.SaveFilms(ctx, f, func(*bullpen.Film) bool { return false })
}

// SaveFilms is SaveFilm, and stores together with it what others changes (slow factor,
// view, box) of the bullpen's other films: all of it or nothing. others gets each of them
// as it is now, and reports whether it changed it.
func (s *Store) SaveFilms(ctx context.Context, f bullpen.Film, others func(*bullpen.Film) bool) (Film, error) {
	err := s.tx(ctx, func(tx *tx) error {
		var position int
		if err := tx.QueryRow(`SELECT bullpen_id, position FROM films WHERE id = ? AND academy_id = ?`, f.ID, s.own(ctx)).Scan(&f.BullpenID, &position); err != nil {
			return one(err, "film")
		}
		if err := tx.saveFilm(f); err != nil {
			return err
		}
		if f.Position != position {
			if err := moveFilm(tx, f); err != nil {
				return err
			}
		}
		list, err := all(ctx, tx, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.bullpen_id = ? AND f.id <> ? ORDER BY f.position, f.id`, f.BullpenID, f.ID)
		if err != nil {
			return err
		}
		for _, o := range list {
			if !others(&o.Film) {
				continue
			}
			if err := tx.saveFilm(o.Film); err != nil {
				return err
			}
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	if err != nil {
		return Film{}, err
	}
	return s.Film(ctx, f.ID)
}

func (t *tx) saveFilm(f bullpen.Film) error {
	// Somebody who says where she is may say that it was somebody else's joints.
	if _, err := t.Exec(`DELETE FROM joints WHERE film_id = ? AND (SELECT box FROM films WHERE id = ?) <> ?`, f.ID, f.ID, packBox(f.Box)); err != nil {
		return err
	}
	return t.update("film", "films", f.ID, f.Version, `slow = ?, slow_known = ?, view = ?, box = ?, sound_late = ?`, f.Clock.Slow, f.SlowKnown, f.View, packBox(f.Box), f.SoundLate)
}

// packBox and unpackBox put a box into a column, none as ”.
func packBox(b bullpen.Box) string {
	if b.None() {
		return ""
	}
	text, err := json.Marshal(b)
	if err != nil { // not a number: no box
		return ""
	}
	return string(text)
}

func unpackBox(text string) (b bullpen.Box, err error) {
	if text != "" {
		err = json.Unmarshal([]byte(text), &b)
	}
	return b, err
}
