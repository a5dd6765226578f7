package store

import (
	"context"
	"time"
)

// ReturnJob puts a running job back into the queue, to be taken again after pause
// at the earliest.
func (s *Store) ReturnJob(ctx context.Context, id string, attempt int, pause time.Duration) error {
	return s.tx(ctx, func(tx *tx) error {
		tx.jobs = true
		_, err := tx.Exec(`UPDATE jobs SET state = 'queued', progress = 0, lease = ?, changed = ? WHERE id = ? AND state = 'running' AND attempts = ?`,
			tx.now+pause.Microseconds(), tx.now, id, attempt)
		return err
	})
}
