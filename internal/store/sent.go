package store

import (
	"cmp"
	"context"

	"tenoff/internal/bullpen"
)

// ClipCopy is a copy of a clip that goes with an answer.
type ClipCopy struct {
	ID    string
	Of    string // the clip on the shelf
	Was   string // what that was when it was copied, as Clip.Made
	Made  string // the copy's own, as Clip.Made
	Files []File
}

// NewClipID returns the ID of a clip that is about to be made.
func NewClipID() string { return newID() }

// SentClip returns a copy of a clip that went with a homework's answer.
func (s *Store) SentClip(ctx context.Context, homeworkID, id string) (Clip, error) {
	c, err := clipFrom(s.read.QueryRowContext(ctx, `SELECT `+clipFields+` FROM clips c WHERE c.id = ? AND c.sent_with = ? AND c.academy_id = ?`, id, homeworkID, s.own(ctx)))
	return c, one(err, "clip")
}

// UncopiedAnswers lists the homework whose answer was sent with clips before copies of
// them were kept.
func (s *Store) UncopiedAnswers(ctx context.Context) ([]bullpen.Homework, error) {
	return all(ctx, s.read, onlyHomework, `SELECT `+homeworkFields+` FROM homeworks h WHERE h.academy_id = ?
		AND CAST(h.sent ->> 'sentAt' AS BIGINT) > 0 AND h.sent ->> 'copies' IS NULL AND coalesce(h.sent ->> 'clipIds', '[]') <> '[]'
		ORDER BY h.created, h.id`, s.own(ctx))
}

// CopyAnswer stores copies of clips that go with a homework's answer from now on, if
// h.Version is still the current one.
func (s *Store) CopyAnswer(ctx context.Context, h bullpen.Homework, copies []ClipCopy) error {
	return s.tx(ctx, func(tx *tx) (err error) {
		if h.Sent.Copies, err = tx.copyClips(h.ID, copies); err != nil {
			return err
		}
		return s.saveHomework(tx, h)
	})
}

// copyClips stores copies of clips that go with a homework's answer, and returns their
// IDs by those of the clips.
func (t *tx) copyClips(homeworkID string, copies []ClipCopy) (map[string]string, error) {
	ids := map[string]string{}
	for _, c := range copies {
		res, err := t.Exec(`INSERT INTO clips (id, academy_id, bullpen_id, created, kind, rep_id, other_id, options, shows, state, problem,
				file_name, bytes, seconds, release_at, made, job_id, sent_with)
			SELECT ?, academy_id, bullpen_id, ?, kind, rep_id, other_id, options, shows, 'ready', '', file_name, bytes, seconds, release_at, ?, '', ?
			FROM clips WHERE id = ? AND made = ? AND sent_with IS NULL AND academy_id = ?`, c.ID, t.now, c.Made, homeworkID, c.Of, c.Was, t.academy)
		if err != nil {
			return nil, err
		}
		if n, err := res.RowsAffected(); err != nil || n == 0 {
			return nil, cmp.Or(err, error(ErrMadeAgain))
		}
		if err := t.name("clip_id", c.ID, c.Files); err != nil {
			return nil, err
		}
		ids[c.Of] = c.ID
	}
	return ids, nil
}

// ErrMadeAgain is the error of a reply one of whose clips was made again, or taken off
// the shelf, while it was sent.
var ErrMadeAgain = bullpen.Errorf(bullpen.Conflict, "A clip of this reply was just made again; look at it, and send the reply then.")

// uncopy removes the copies of clips that went with a homework's answer, and returns
// their files.
func (t *tx) uncopy(homeworkID string) ([]File, error) {
	files, err := all(t.ctx, t.Tx, fileFrom, `SELECT key, bytes FROM files WHERE clip_id IN (SELECT id FROM clips WHERE sent_with = ?) ORDER BY key`, homeworkID)
	if err != nil {
		return nil, err
	}
	_, err = t.Exec(`DELETE FROM clips WHERE sent_with = ?`, homeworkID)
	return files, err
}
