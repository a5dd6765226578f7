package store

import (
	"context"

	"tenoff/internal/bullpen"
)

// Joints are where her joints are in a run of frames of a film.
type Joints struct {
	FilmID      string
	First, Last int    // frames that were looked at, both included
	Version     int    // of how they were found
	Poses       []byte // packed, see posture.Track
}

// Joints lists what was found in a film, by frame.
func (s *Store) Joints(ctx context.Context, filmID string) ([]Joints, error) {
	return all(ctx, s.read, jointsFrom, `SELECT film_id, first, last, version, poses FROM joints WHERE film_id = ? AND academy_id = ? ORDER BY first`, filmID, s.own(ctx))
}

// BullpenJoints lists what was found in a bullpen's films.
func (s *Store) BullpenJoints(ctx context.Context, bullpenID string) ([]Joints, error) {
	return all(ctx, s.read, jointsFrom, bullpenJointsQuery, bullpenID, s.own(ctx))
}

const bullpenJointsQuery = `SELECT j.film_id, j.first, j.last, j.version, j.poses FROM films f CROSS JOIN joints j ON j.film_id = f.id
	WHERE f.bullpen_id = ? AND f.academy_id = ?`

func jointsFrom(row scanner) (j Joints, err error) {
	return j, row.Scan(&j.FilmID, &j.First, &j.Last, &j.Version, &j.Poses)
}

// JointsSeen lists which runs of a bullpen's films were looked at, without the poses.
func (s *Store) JointsSeen(ctx context.Context, bullpenID string) ([]Joints, error) {
	return all(ctx, s.read, func(row scanner) (j Joints, err error) {
		return j, row.Scan(&j.FilmID, &j.First, &j.Last, &j.Version)
	}, jointsSeenQuery, bullpenID, s.own(ctx))
}

const jointsSeenQuery = `SELECT j.film_id, j.first, j.last, j.version FROM films f CROSS JOIN joints j ON j.film_id = f.id
	WHERE f.bullpen_id = ? AND f.academy_id = ?`

// KeepJoints stores what was found in a run of a film's frames, in place of what any run
// that has a frame in common says. box is where she was looked for: if the film's is
// another one by now, nothing is stored. A film that is gone is NotFound.
func (s *Store) KeepJoints(ctx context.Context, j Joints, box bullpen.Box) error {
	return s.tx(ctx, func(tx *tx) error {
		var bullpenID, now string
		err := tx.QueryRow(`SELECT bullpen_id, box FROM films WHERE id = ? AND academy_id = ?`, j.FilmID, tx.academy).Scan(&bullpenID, &now)
		if err != nil {
			return one(err, "film")
		}
		if now != packBox(box) {
			return nil
		}
		if _, err := tx.Exec(`DELETE FROM joints WHERE film_id = ? AND first <= ? AND last >= ?`, j.FilmID, j.Last, j.First); err != nil {
			return err
		}
		_, err = tx.Exec(`INSERT INTO joints (film_id, first, last, academy_id, version, poses) VALUES (?, ?, ?, ?, ?, ?)`,
			j.FilmID, j.First, j.Last, tx.academy, j.Version, j.Poses)
		if err != nil {
			return err
		}
		_, err = tx.touch(bullpenID)
		return err
	})
}
