package store

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"time"

	"tenoff/internal/bullpen"
)

// Film is a film with what was made of it.
type Film struct {
	bullpen.Film
	// Made is JSON for those who made it: which files there are and how to cut from
	// them; "" until the film was read.
	Made string
}

const filmFields = `f.id, f.version, f.bullpen_id, f.name, f.sha256, f.bytes, f.state, f.refusal, f.position, f.recorded,
	f.width, f.height, f.codec, f.hdr, f.has_sound, f.clock_num, f.clock_den, f.ticks, f.slow, f.slow_known, f.view, f.made`

func filmFrom(row scanner) (f Film, err error) {
	var ticks []byte
	err = row.Scan(&f.ID, &f.Version, &f.BullpenID, &f.Name, &f.SHA256, &f.Bytes, &f.State, &f.Refusal, &f.Position, &f.Recorded,
		&f.Width, &f.Height, &f.Codec, &f.HDR, &f.HasSound, &f.Clock.Num, &f.Clock.Den, &ticks, &f.Clock.Slow, &f.SlowKnown, &f.View, &f.Made)
	if err != nil {
		return f, err
	}
	f.Clock.Ticks, err = unpackTicks(ticks)
	if err != nil {
		return f, fmt.Errorf("clock of film %s: %w", f.ID, err)
	}
	return f, nil
}

// packTicks writes rising ticks as varints of their differences.
func packTicks(ticks []int64) []byte {
	out := make([]byte, 0, 2*len(ticks)+8)
	var last int64
	for _, t := range ticks {
		out = binary.AppendVarint(out, t-last)
		last = t
	}
	return out
}

func unpackTicks(packed []byte) ([]int64, error) {
	if len(packed) == 0 {
		return nil, nil
	}
	ticks := make([]int64, 0, len(packed))
	var last int64
	for len(packed) > 0 {
		d, n := binary.Varint(packed)
		if n <= 0 {
			return nil, errors.New("damaged")
		}
		last += d
		ticks = append(ticks, last)
		packed = packed[n:]
	}
	return ticks, nil
}

// Films lists a bullpen's films in order, refused ones too.
func (s *Store) Films(ctx context.Context, bullpenID string) ([]Film, error) {
	return all(ctx, s.read, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.bullpen_id = ? AND f.academy_id = ? ORDER BY f.position, f.id`, bullpenID, s.academy)
}

// UnsettledFilms lists films that are arriving, being read, or refused and not yet
// dismissed.
func (s *Store) UnsettledFilms(ctx context.Context) ([]Film, error) {
	return all(ctx, s.read, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.academy_id = ? AND f.state <> 'ready' ORDER BY f.created, f.id`, s.academy)
}

// Film returns one film.
func (s *Store) Film(ctx context.Context, id string) (Film, error) {
	f, err := filmFrom(s.read.QueryRowContext(ctx, `SELECT `+filmFields+` FROM films f WHERE f.id = ? AND f.academy_id = ?`, id, s.academy))
	return f, one(err, "film")
}

// FilmBySum returns the bullpen's film with that SHA-256, if it has one that was
// not refused.
func (s *Store) FilmBySum(ctx context.Context, bullpenID, sum string) (Film, bool, error) {
	f, err := filmFrom(s.read.QueryRowContext(ctx, `SELECT `+filmFields+` FROM films f
		WHERE f.bullpen_id = ? AND f.sha256 = ? AND f.state <> 'refused' AND f.academy_id = ?`, bullpenID, sum, s.academy))
	if errors.Is(err, sql.ErrNoRows) {
		return Film{}, false, nil
	}
	return f, err == nil, explain(err)
}

// NewFilmID returns an ID for a film whose file is stored before its row.
func NewFilmID() string { return newID() }

// AddFilm stores a film that has arrived, and the job that reads it, together.
// f.ID must be set. It is put behind the bullpen's other films.
func (s *Store) AddFilm(ctx context.Context, f bullpen.Film, job NewJob) (bullpen.Film, error) {
	f.Version = 1
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "bullpen", "bullpens", f.BullpenID); err != nil {
			return err
		}
		if err := tx.QueryRow(`SELECT coalesce(max(position) + 1, 0) FROM films WHERE bullpen_id = ?`, f.BullpenID).Scan(&f.Position); err != nil {
			return err
		}
		_, err := tx.Exec(`INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position,
			recorded, width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			VALUES (?, ?, ?, 1, ?, ?, ?, ?, ?, '', ?, 0, 0, 0, '', 0, 0, 0, 0, x'', 1, 0, '', '')`,
			f.ID, s.academy, f.BullpenID, tx.now, f.Name, f.SHA256, f.Bytes, f.State, f.Position)
		if err != nil {
			return err
		}
		if _, err := s.addJob(tx, job); err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	return f, err
}

// FilmRead stores what reading a film found, and puts the bullpen's films in the
// order they were filmed. A slow factor or a view that the user set stays. The
// first film that knows its day gives it to a bullpen whose day nobody chose.
func (s *Store) FilmRead(ctx context.Context, f bullpen.Film, made string) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE films SET version = version + 1, state = 'ready', refusal = '', recorded = ?, width = ?, height = ?, codec = ?,
			hdr = ?, has_sound = ?, clock_num = ?, clock_den = ?, ticks = ?,
			slow = CASE WHEN slow_known THEN slow ELSE ? END, slow_known = slow_known OR ?, made = ? WHERE id = ?`,
			f.Recorded, f.Width, f.Height, f.Codec, f.HDR, f.HasSound, f.Clock.Num, f.Clock.Den, packTicks(f.Clock.Ticks),
			f.Clock.Slow, f.SlowKnown, made, f.ID)
		if err != nil {
			return err
		}
		if n, err := res.RowsAffected(); err != nil || n == 0 {
			return errors.Join(err, notFound("film"))
		}
		if err := arrange(tx, f.BullpenID); err != nil {
			return err
		}
		if f.Recorded != 0 {
			day := time.UnixMicro(f.Recorded).Local().Format(time.DateOnly)
			if _, err := tx.Exec(`UPDATE reps SET day = ? WHERE bullpen_id = (SELECT id FROM bullpens WHERE id = ? AND day_said = 0)`, day, f.BullpenID); err != nil {
				return err
			}
			if _, err := tx.Exec(`UPDATE bullpens SET day = ?, day_said = 1, version = version + 1 WHERE id = ? AND day_said = 0`, day, f.BullpenID); err != nil {
				return err
			}
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
}

// arrange orders a bullpen's films by when they were filmed while all of them
// know it; else they stay in the order of arrival.
func arrange(tx *tx, bullpenID string) error {
	var unknown int
	err := tx.QueryRow(`SELECT count(*) FROM films WHERE bullpen_id = ? AND state <> 'refused' AND recorded = 0`, bullpenID).Scan(&unknown)
	if err != nil || unknown > 0 {
		return err
	}
	_, err = tx.Exec(`UPDATE films SET position = o.place FROM
		(SELECT id, row_number() OVER (ORDER BY recorded, name, id) - 1 AS place FROM films WHERE bullpen_id = ?) AS o
		WHERE films.id = o.id`, bullpenID)
	return err
}

// RefuseFilm keeps the sentence that says why a film can't be used.
func (s *Store) RefuseFilm(ctx context.Context, id, sentence string) error {
	return s.tx(ctx, func(tx *tx) error {
		var bullpenID string
		err := tx.QueryRow(`UPDATE films SET version = version + 1, state = 'refused', refusal = ? WHERE id = ? RETURNING bullpen_id`, sentence, id).Scan(&bullpenID)
		if err != nil {
			return one(err, "film")
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}

// SaveFilm stores what a user may change of a film (slow factor, view, position)
// if f.Version is still the current one.
func (s *Store) SaveFilm(ctx context.Context, f bullpen.Film) (Film, error) {
	err := s.tx(ctx, func(tx *tx) error {
		err := tx.update("film", "films", f.ID, f.Version, `slow = ?, slow_known = ?, view = ?, position = ?`,
			f.Clock.Slow, f.SlowKnown, f.View, f.Position)
		if err != nil {
			return err
		}
		_, err = tx.touch(f.BullpenID)
		return err
	})
	if err != nil {
		return Film{}, err
	}
	return s.Film(ctx, f.ID)
}
