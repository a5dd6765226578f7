package store

import (
	"database/sql"
	"errors"
	"slices"

	"tenoff/internal/bullpen"
)

// markedFilm is what a mark on a film is checked by.
type markedFilm struct {
	bullpenID string // "" where there is no such film
	frames    int
}

// checkMarks refuses a mark on a film of another bullpen or outside the film.
func checkMarks(tx *tx, r bullpen.Rep) error {
	last := max(bullpen.Unmarked, r.Drive, r.Plant, r.Top, r.Release)
	if r.FilmID == "" {
		if last >= 0 {
			return bullpen.Errorf(bullpen.Invalid, "A mark needs the film it lies on.")
		}
		return nil
	}
	f, err := tx.readMarked(r.FilmID)
	if err != nil {
		return err
	}
	if f.bullpenID == "" || f.bullpenID != r.BullpenID {
		return bullpen.Errorf(bullpen.Invalid, "That film is not one of this bullpen's.")
	}
	if last >= f.frames {
		return bullpen.Errorf(bullpen.Invalid, "Frame %d lies after the end of the film, which has %d frames.", last, f.frames)
	}
	return nil
}

// readMarked reads a film once for all the reps on it that a transaction stores: its clock
// is long.
func (t *tx) readMarked(id string) (f markedFilm, err error) {
	if f, known := t.marked[id]; known {
		return f, nil
	}
	var packed []byte
	err = t.QueryRow(`SELECT bullpen_id, ticks FROM films WHERE id = ?`, id).Scan(&f.bullpenID, &packed)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return f, err
	}
	ticks, err := unpackTicks(packed)
	if err != nil {
		return f, err
	}
	f.frames = len(ticks)
	t.marked[id] = f
	return f, nil
}

// moveMarks lets what lies on a film's frames lie on the same pictures when reading it
// shows that it has other frames than it promised: was is the film before, is after.
func (t *tx) moveMarks(was, is Film) error {
	if was.Clock.Frames() == 0 || slices.Equal(was.Clock.Ticks, is.Clock.Ticks) && was.Made.Cut.FirstTick == is.Made.Cut.FirstTick {
		return nil
	}
	now := func(frame int) int {
		if frame < 0 || frame >= was.Clock.Frames() {
			return frame
		}
		at := was.Made.Cut.FirstTick + was.Clock.Ticks[frame] - is.Made.Cut.FirstTick
		i, _ := slices.BinarySearch(is.Clock.Ticks, at) // its own, else the next that there is
		return min(i, is.Clock.Frames()-1)
	}
	type marked struct {
		id    string
		marks [4]int
	}
	reps, err := all(t.ctx, t.Tx, func(row scanner) (m marked, err error) {
		return m, row.Scan(&m.id, &m.marks[0], &m.marks[1], &m.marks[2], &m.marks[3])
	}, `SELECT id, drive, plant, top, "release" FROM reps WHERE film_id = ?`, is.ID)
	if err != nil {
		return err
	}
	for _, r := range reps {
		next := r.marks
		for i, frame := range r.marks {
			next[i] = now(frame)
		}
		if next == r.marks {
			continue
		}
		if _, err := t.Exec(`UPDATE reps SET version = version + 1, drive = ?, plant = ?, top = ?, "release" = ? WHERE id = ?`,
			next[0], next[1], next[2], next[3], r.id); err != nil {
			return err
		}
	}
	return t.moveDrawings(is.ID, now)
}

// moveDrawings lets what was drawn on a film's frames lie on the frame now(frame).
func (t *tx) moveDrawings(filmID string, now func(frame int) int) error {
	type drawn struct {
		rep   string
		frame int
	}
	list, err := all(t.ctx, t.Tx, func(row scanner) (d drawn, err error) {
		return d, row.Scan(&d.rep, &d.frame)
	}, `SELECT d.rep_id, d.frame FROM drawings d JOIN reps r ON r.id = d.rep_id WHERE r.film_id = ? ORDER BY d.frame`, filmID)
	if err != nil {
		return err
	}
	for _, d := range list { // aside, so that none meets one that has yet to move
		to := -1 - now(d.frame)
		if _, err := t.Exec(`DELETE FROM drawings WHERE rep_id = ? AND frame = ?`, d.rep, to); err != nil {
			return err
		}
		if _, err := t.Exec(`UPDATE drawings SET frame = ? WHERE rep_id = ? AND frame = ?`, to, d.rep, d.frame); err != nil {
			return err
		}
	}
	_, err = t.Exec(`UPDATE drawings SET frame = -1 - frame WHERE frame < 0`)
	return err
}
