package store

import (
	"context"
)

// Clip is one clip on the shelf, or on its way there.
type Clip struct {
	ID        string
	BullpenID string
	Kind      string // "single" or "pair"
	RepID     string
	OtherID   string // the second rep of a pair, "" for a single
	Options   string // JSON, the shelf's
	// Shows is the digest of everything the finished clip shows; when the same
	// things give another digest, it has to be rendered again.
	Shows     string
	State     string // queued, rendering, ready, failed, cancelled
	Problem   string
	FileName  string
	Bytes     int64
	Seconds   float64 // length
	ReleaseAt float64 // when the release frame is on show
	Made      string  // JSON, the shelf's: the keys of its files
	JobID     string
}

const clipFields = `c.id, c.bullpen_id, c.kind, c.rep_id, coalesce(c.other_id, ''), c.options, c.shows, c.state, c.problem,
	c.file_name, c.bytes, c.seconds, c.release_at, c.made, c.job_id`

func clipFrom(row scanner) (c Clip, err error) {
	return c, row.Scan(&c.ID, &c.BullpenID, &c.Kind, &c.RepID, &c.OtherID, &c.Options, &c.Shows, &c.State, &c.Problem,
		&c.FileName, &c.Bytes, &c.Seconds, &c.ReleaseAt, &c.Made, &c.JobID)
}

// Clips lists a bullpen's clips on the shelf, of pairs too, in the order of their reps.
// Clips of reps that were taken out are left out.
func (s *Store) Clips(ctx context.Context, bullpenID string) ([]Clip, error) {
	return all(ctx, s.read, clipFrom, `SELECT `+clipFields+` FROM clips c JOIN reps r ON r.id = c.rep_id
		WHERE c.bullpen_id = ? AND c.academy_id = ? AND c.sent_with IS NULL AND r.deleted = 0 ORDER BY c.kind DESC, r.place, c.created, c.id`, bullpenID, s.own(ctx))
}

// Clip returns one clip on the shelf. Copies that went with answers are none of them,
// see SentClip.
func (s *Store) Clip(ctx context.Context, id string) (Clip, error) {
	c, err := clipFrom(s.read.QueryRowContext(ctx, `SELECT `+clipFields+` FROM clips c WHERE c.id = ? AND c.sent_with IS NULL AND c.academy_id = ?`, id, s.own(ctx)))
	return c, one(err, "clip")
}

// QueueClip stores a clip and the job that renders it, together. job's subject is
// filled in. A clip with an ID is queued again, keeping what was made of it until
// the new one is there.
func (s *Store) QueueClip(ctx context.Context, c Clip, job NewJob) (Clip, error) {
	err := s.tx(ctx, func(tx *tx) error {
		if err := s.owns(tx, "rep", "reps", c.RepID); err != nil {
			return err
		}
		fresh := c.ID == ""
		if fresh {
			c.ID = newID()
		}
		job.Subject, job.BullpenID = c.ID, c.BullpenID
		queued, err := s.addJob(tx, job)
		if err != nil {
			return err
		}
		c.State, c.Problem, c.JobID = "queued", "", queued.ID
		if fresh {
			_, err = tx.Exec(`INSERT INTO clips (id, academy_id, bullpen_id, created, kind, rep_id, other_id, options, shows, state, problem,
				file_name, bytes, seconds, release_at, made, job_id) VALUES (?, ?, ?, ?, ?, ?, ?, ?, '', 'queued', '', ?, 0, 0, 0, '', ?)`,
				c.ID, s.own(ctx), c.BullpenID, tx.now, c.Kind, c.RepID, null(c.OtherID), c.Options, c.FileName, c.JobID)
		} else {
			_, err = tx.Exec(`UPDATE clips SET options = ?, state = 'queued', problem = '', file_name = ?, job_id = ? WHERE id = ?`,
				c.Options, c.FileName, c.JobID, c.ID)
		}
		if err != nil {
			return err
		}
		_, err = tx.touch(c.BullpenID)
		return err
	})
	return c, err
}

// SaveClip stores how far a clip has come.
func (s *Store) SaveClip(ctx context.Context, c Clip) error {
	return s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE clips SET shows = ?, state = ?, problem = ?, file_name = ?, bytes = ?, seconds = ?, release_at = ?, made = ? WHERE id = ? AND academy_id = ?`,
			c.Shows, c.State, c.Problem, c.FileName, c.Bytes, c.Seconds, c.ReleaseAt, c.Made, c.ID, s.own(ctx))
		if err := hit(res, err, "clip"); err != nil {
			return err
		}
		_, err = tx.touch(c.BullpenID)
		return err
	})
}

// FinishClip stores a clip that is ready and names its files; it returns those it
// replaces, which have to go from the disk.
func (s *Store) FinishClip(ctx context.Context, c Clip, files []File) (loose []File, err error) {
	keys := make([]string, len(files))
	for i, f := range files {
		keys[i] = f.Key
	}
	err = s.tx(ctx, func(tx *tx) error {
		res, err := tx.Exec(`UPDATE clips SET shows = ?, state = 'ready', problem = '', file_name = ?, bytes = ?, seconds = ?, release_at = ?, made = ? WHERE id = ? AND academy_id = ?`,
			c.Shows, c.FileName, c.Bytes, c.Seconds, c.ReleaseAt, c.Made, c.ID, s.own(ctx))
		if err := hit(res, err, "clip"); err != nil {
			return err
		}
		if loose, err = tx.loosen("clip_id", c.ID, keys...); err != nil {
			return err
		}
		if err := tx.name("clip_id", c.ID, files); err != nil {
			return err
		}
		_, err = tx.touch(c.BullpenID)
		return err
	})
	return loose, err
}
