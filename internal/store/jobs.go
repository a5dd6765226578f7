package store

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"tenoff/internal/errand"
)

// JobState is how far a job has come.
type JobState string

// The states of a job.
const (
	JobQueued    JobState = "queued"
	JobRunning   JobState = "running"
	JobDone      JobState = "done"
	JobFailed    JobState = "failed"
	JobCancelled JobState = "cancelled"
)

// NewJob is a job to be queued.
type NewJob struct {
	Kind      string
	Subject   string // the ID of what it works on
	BullpenID string // "" for none
	Payload   string // JSON, the kind's own
}

// Claim says which of the times that a job was claimed is meant. Of one job it only ever
// rises, also where its attempts count anew: what is said by an older one, by a worker that
// was held up or whose answer was lost, changes nothing.
type Claim int64

// Job is a piece of long work.
type Job struct {
	ID      string
	Academy string // whose it is, for Within
	NewJob
	State      JobState
	Progress   float64 // 0 to 1
	Problem    string  // one sentence, when it failed
	Attempts   int     // since it was last asked for, without those that were interrupted
	Claim      Claim
	Created    time.Time
	Cancelling bool   // somebody asked it to stop
	Errand     string // what it follows from, "" for nothing that somebody asked for; see errand
}

const jobFields = `id, academy_id, kind, subject, bullpen_id, payload, state, progress, problem, attempts, claim, created, cancelling, errand`

func jobFrom(row scanner) (j Job, err error) {
	var created int64
	err = row.Scan(&j.ID, &j.Academy, &j.Kind, &j.Subject, &j.BullpenID, &j.Payload, &j.State, &j.Progress, &j.Problem, &j.Attempts, &j.Claim, &created, &j.Cancelling, &j.Errand)
	j.Created = time.UnixMicro(created).UTC()
	return j, err
}

// AddJob queues a job.
func (s *Store) AddJob(ctx context.Context, n NewJob) (Job, error) {
	var j Job
	err := s.tx(ctx, func(tx *tx) (err error) {
		j, err = s.addJob(tx, n)
		return err
	})
	return j, err
}

// addJob queues a job, unless the same one waits already.
func (s *Store) addJob(tx *tx, n NewJob) (Job, error) {
	if n.Subject != "" {
		j, err := jobFrom(tx.QueryRow(`SELECT `+jobFields+` FROM jobs WHERE kind = ? AND subject = ? AND state = 'queued'`, n.Kind, n.Subject))
		if err == nil {
			// A worker may have taken it since it was looked at: then it is no longer the one that
			// waits, and without its lease another would take it beside the first.
			j.Payload = n.Payload
			err = tx.QueryRow(`UPDATE jobs SET payload = ?, lease = 0 WHERE id = ? AND state = 'queued' RETURNING id`, n.Payload, j.ID).Scan(&j.ID)
		}
		if !errors.Is(err, sql.ErrNoRows) {
			return j, err
		}
	}
	tx.jobs, tx.queue = true, true
	j := Job{ID: newID(), Academy: tx.academy, NewJob: n, State: JobQueued, Created: time.UnixMicro(tx.now).UTC(), Errand: errand.Of(tx.ctx)}
	_, err := tx.Exec(`INSERT INTO jobs (id, academy_id, bullpen_id, kind, subject, payload, state, progress, problem, attempts, created, changed, lease, cancelling, errand)
		VALUES (?, ?, ?, ?, ?, ?, 'queued', 0, '', 0, ?, ?, 0, 0, ?)`, j.ID, tx.academy, n.BullpenID, n.Kind, n.Subject, n.Payload, tx.now, tx.now, j.Errand)
	return j, err
}

// Job returns one job.
func (s *Store) Job(ctx context.Context, id string) (Job, error) {
	j, err := jobFrom(s.read.QueryRowContext(ctx, `SELECT `+jobFields+` FROM jobs WHERE id = ? AND academy_id = ?`, id, s.own(ctx)))
	return j, one(err, "job")
}

// Jobs lists jobs that are queued, running or failed, of one bullpen or of all
// (""), oldest first; and cancelled ones whose film is unread for it, since nothing
// will come of that film unless the job is tried again.
func (s *Store) Jobs(ctx context.Context, bullpenID string) ([]Job, error) {
	if bullpenID != "" {
		return all(ctx, s.read, jobFrom, bullpenJobsQuery, bullpenID, s.own(ctx))
	}
	return all(ctx, s.read, jobFrom, jobsQuery, s.own(ctx))
}

// LastJob returns how far the last job of a kind on a subject has come, "" where there is
// none any more.
func (s *Store) LastJob(ctx context.Context, kind, subject string) (state JobState, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT state FROM jobs WHERE subject = ? AND kind = ? AND academy_id = ? ORDER BY created DESC, id DESC LIMIT 1`,
		subject, kind, s.own(ctx)).Scan(&state)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return state, explain(err)
}

const (
	jobsQuery        = `SELECT ` + jobFields + ` FROM jobs INDEXED BY jobs_unfinished WHERE academy_id = ? AND ` + unfinished + ` ORDER BY created, id`
	bullpenJobsQuery = `SELECT ` + jobFields + ` FROM jobs INDEXED BY jobs_by_bullpen WHERE bullpen_id = ? AND academy_id = ? AND ` + unfinished + ` ORDER BY created, id`

	// unfinished is what Jobs lists; leftOpen what a cancelled job left unread.
	unfinished = `state <> 'done' AND (state <> 'cancelled' OR ` + leftOpen + `)`
	leftOpen   = `EXISTS (SELECT 1 FROM films f WHERE f.id = jobs.subject AND f.state = 'reading'
		AND NOT EXISTS (SELECT 1 FROM jobs o WHERE o.subject = f.id AND o.state IN ('queued', 'running', 'failed')))`
)

// longestPause is the longest that a queued job waits to be tried again. A wait beyond it
// was begun before somebody set the clock back, and is over. A running job's lease says
// nothing of the kind: its worker renews it, and at the start there is none
// (StartOverJobs).
const longestPause = 20 * time.Minute

// ClaimJob hands the next job of the given kinds that waits, or whose worker's lease
// ran out, to the caller until lease from now; ok is false when there is none. What a
// pitcher stands and waits for comes first: the latest bullpen before older ones, and
// homework, which is looked at later, after them; in one bullpen the oldest job. Two
// jobs on one subject never run at once, and a clip waits while its films are read again.
func (s *Store) ClaimJob(ctx context.Context, kinds []string, lease time.Duration) (j Job, ok bool, err error) {
	places, wanted := listed(kinds)
	err = s.inTurn(ctx, theQueue, func(tx *tx) (err error) {
		args := append([]any{tx.now + lease.Microseconds(), tx.now, tx.now, tx.now + longestPause.Microseconds()}, wanted...)
		j, err = jobFrom(tx.QueryRow(`UPDATE jobs SET state = 'running', attempts = attempts + 1, claim = claim + 1, progress = 0, problem = '', lease = ?, changed = ?
			WHERE id = (SELECT w.id FROM jobs w LEFT JOIN bullpens b ON b.id = w.bullpen_id LEFT JOIN homeworks h ON h.bullpen_id = w.bullpen_id
				WHERE w.state IN ('queued', 'running') AND (w.lease <= ? OR w.state = 'queued' AND w.lease > ?)
				AND w.kind IN (`+places+`)
				AND NOT EXISTS (SELECT 1 FROM jobs o WHERE o.subject = w.subject AND o.state = 'running' AND o.id <> w.id AND o.subject <> '')
				AND NOT EXISTS (SELECT 1 FROM clips c JOIN reps r ON r.id IN (c.rep_id, c.other_id) JOIN films f ON f.id = r.film_id
					WHERE c.id = w.subject AND f.state = 'reading' AND EXISTS (SELECT 1 FROM jobs o WHERE o.subject = f.id AND o.state IN ('queued', 'running')))
				ORDER BY h.id IS NOT NULL, coalesce(b.created, 0) DESC, w.created, w.id LIMIT 1 `+s.engine.passOver("w")+`)
			RETURNING `+jobFields, args...))
		if errors.Is(err, sql.ErrNoRows) {
			return nil
		}
		ok, tx.jobs = err == nil, err == nil
		return err
	})
	return j, ok, err
}

// HoldJob renews a running job's lease and tells its progress. It reports whether
// somebody asked the job to stop; a job that is no longer the caller's is NotFound.
func (s *Store) HoldJob(ctx context.Context, id string, claim Claim, progress float64, lease time.Duration) (cancelling bool, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		tx.jobs = true
		return one(tx.QueryRow(`UPDATE jobs SET progress = ?, lease = ?, changed = ? WHERE id = ? AND state = 'running' AND claim = ? RETURNING cancelling`,
			progress, tx.now+lease.Microseconds(), tx.now, id, claim).Scan(&cancelling), "job")
	})
	return cancelling, err
}

// EndJob says how a running job ended: done, failed with a sentence, or cancelled. One
// that failed after it was asked to stop is cancelled: what it works on may be gone. processor
// is what the attempt took, which counts. Of a claim that is no longer the job's nothing is
// kept: said again, since the answer was lost, it counts once.
func (s *Store) EndJob(ctx context.Context, id string, claim Claim, state JobState, problem string, processor time.Duration) error {
	return s.tx(ctx, func(tx *tx) error {
		tx.jobs, tx.queue = true, true // another on the same subject may wait for it
		ended, err := tx.Exec(`UPDATE jobs SET state = CASE WHEN cancelling <> 0 AND ?1 = 'failed' THEN 'cancelled' ELSE ?1 END, problem = CASE WHEN cancelling <> 0 THEN '' ELSE ?2 END,
				progress = CASE WHEN ?1 = 'done' THEN 1 ELSE progress END, lease = 0, cancelling = 0, changed = ?3
			WHERE id = ?4 AND state = 'running' AND claim = ?5`, state, problem, tx.now, id, claim)
		if err != nil {
			return err
		}
		return tx.spend(id, ended, processor)
	})
}

// ReturnJob puts a running job back into the queue, to be taken again after pause
// at the earliest, unless the same one waits there already. interrupted says that
// the attempt was none of the job's fault and does not count; processor is as in EndJob.
func (s *Store) ReturnJob(ctx context.Context, id string, claim Claim, interrupted bool, pause, processor time.Duration) error {
	return s.tx(ctx, func(tx *tx) error {
		tx.jobs, tx.queue = true, true
		back, err := tx.putBack(`id = ? AND claim = ?`, interrupted, tx.now+pause.Microseconds(), id, claim)
		if err != nil {
			return err
		}
		return tx.spend(id, back, processor)
	})
}

// putBack queues the running jobs that match again, not before the given time. One
// that was to be cancelled is; so is one whose like waits already.
func (t *tx) putBack(which string, interrupted bool, notBefore int64, args ...any) (sql.Result, error) {
	return t.Exec(`UPDATE jobs SET state = CASE WHEN cancelling <> 0 OR EXISTS (SELECT 1 FROM jobs o WHERE o.kind = jobs.kind AND o.subject = jobs.subject AND o.subject <> '' AND o.state = 'queued')
			THEN 'cancelled' ELSE 'queued' END, progress = 0, cancelling = 0, lease = ?, changed = ?, attempts = attempts - ?
		WHERE state = 'running' AND `+which, append([]any{notBefore, t.now, interrupted}, args...)...)
}

// Cancelling lists the running jobs that somebody asked to stop.
func (s *Store) Cancelling(ctx context.Context) ([]string, error) {
	return all(ctx, s.read, text, `SELECT id FROM jobs WHERE state IN ('queued', 'running') AND state = 'running' AND cancelling <> 0`)
}

// CancelJob takes a waiting job out of the queue at once and asks a running one to
// stop. A job that has ended stays as it is.
func (s *Store) CancelJob(ctx context.Context, id string) (Job, error) {
	err := s.tx(ctx, func(tx *tx) error {
		tx.jobs, tx.queue = true, true
		_, err := tx.Exec(`UPDATE jobs SET cancelling = CASE WHEN state = 'running' THEN 1 ELSE 0 END, state = CASE WHEN state = 'queued' THEN 'cancelled' ELSE state END, changed = ?
			WHERE id = ? AND academy_id = ? AND state IN ('queued', 'running')`, tx.now, id, s.own(ctx))
		return err
	})
	if err != nil {
		return Job{}, err
	}
	return s.Job(ctx, id)
}

// RetryJob queues a job again that failed or was cancelled.
func (s *Store) RetryJob(ctx context.Context, id string) (Job, error) {
	err := s.tx(ctx, func(tx *tx) error {
		tx.jobs, tx.queue = true, true
		_, err := tx.Exec(`UPDATE jobs SET state = 'queued', problem = '', progress = 0, attempts = 0, lease = 0, cancelling = 0, changed = ?
			WHERE id = ? AND academy_id = ? AND state IN ('failed', 'cancelled')
			AND NOT EXISTS (SELECT 1 FROM jobs o WHERE o.kind = jobs.kind AND o.subject = jobs.subject AND o.subject <> '' AND o.state = 'queued')`, tx.now, id, s.own(ctx))
		return err
	})
	if err != nil {
		return Job{}, err
	}
	return s.Job(ctx, id)
}

// StartOverJobs queues every running job again. Call it before any worker starts:
// whoever ran them is gone. Where other programs may be the workers, theirs come back
// when their leases have run out.
func (s *Store) StartOverJobs(ctx context.Context) error {
	if !s.engine.ours() {
		return nil
	}
	return s.tx(ctx, func(tx *tx) error {
		tx.jobs = true
		_, err := tx.putBack(`1 = 1`, false, 0)
		return err
	})
}

// ForgetJobs removes jobs that were done or cancelled before the given time and
// that Jobs does not list.
func (s *Store) ForgetJobs(ctx context.Context, before time.Time) error {
	return s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`DELETE FROM jobs WHERE changed < ? AND (state = 'done' OR state = 'cancelled' AND NOT `+leftOpen+`)`, before.UnixMicro())
		return err
	})
}
