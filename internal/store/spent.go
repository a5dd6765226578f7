package store

import (
	"context"
	"database/sql"
	"time"
)

// spend counts an attempt at a job and the processor time that it took within the job's
// academy, if ended says that there was one to end.
func (t *tx) spend(id string, ended sql.Result, processor time.Duration) error {
	if n, err := ended.RowsAffected(); err != nil || n == 0 {
		return err
	}
	_, err := t.Exec(`INSERT INTO spent (academy_id, month, kind, jobs, processor) SELECT academy_id, ?, kind, 1, ? FROM jobs WHERE id = ?
		ON CONFLICT (academy_id, month, kind) DO UPDATE SET jobs = spent.jobs + 1, processor = spent.processor + excluded.processor`,
		monthOf(t.now), processor.Microseconds(), id)
	return err
}

// monthOf is the month of a time in microseconds, UTC.
func monthOf(now int64) string { return time.UnixMicro(now).UTC().Format("2006-01") }

// Queue is how many jobs of a kind, in all academies, are in a state, and since when the
// oldest of them is in the queue.
type Queue struct {
	Kind   string
	State  JobState
	Jobs   int
	Oldest time.Duration // by the database's own clock where it has one
}

// Queues counts the jobs that wait and those that run, in all academies.
func (s *Store) Queues(ctx context.Context) ([]Queue, error) {
	now, err := s.clock(ctx)
	if err != nil {
		return nil, err
	}
	return all(ctx, s.read, func(row scanner) (q Queue, err error) {
		var oldest int64
		err = row.Scan(&q.Kind, &q.State, &q.Jobs, &oldest)
		q.Oldest = max(0, time.Duration(now-oldest)*time.Microsecond)
		return q, err
	}, `SELECT kind, state, count(*), min(created) FROM jobs WHERE state IN ('queued', 'running') GROUP BY kind, state ORDER BY kind, state`)
}

// Use is what an academy takes: of its instructor, nobody's where she has none any more.
type Use struct {
	Academy, Account, Name    string // whose it is
	Owner                     bool
	Pitchers, Bullpens, Films int
	Bytes                     int64         // of all its files
	Waiting, Failed, Refused  int           // jobs that wait or run; that failed; films that can't be used
	FilmsRead                 int           // this month
	Processor, Before         time.Duration // this month's and the last one's
	Keep                      string        // its setting of that name, see homework.KeepSetting
}

// Uses lists what every academy takes, by the name of its instructor. keep is the name of a
// setting that is told of each, read the kind of job that counts as reading a film.
func (s *Store) Uses(ctx context.Context, keep string, read []string) ([]Use, error) {
	now, err := s.clock(ctx)
	if err != nil {
		return nil, err
	}
	this := time.UnixMicro(now).UTC()
	last := time.Date(this.Year(), this.Month(), 0, 0, 0, 0, 0, time.UTC)
	kinds, named := listed(read)
	args := append([]any{this.Format("2006-01")}, named...)
	args = append(args, this.Format("2006-01"), last.Format("2006-01"), keep)
	return all(ctx, s.read, func(row scanner) (u Use, err error) {
		var processor, before int64
		err = row.Scan(&u.Academy, &u.Account, &u.Name, &u.Owner, &u.Pitchers, &u.Bullpens, &u.Films, &u.Bytes, &u.Waiting, &u.Failed, &u.Refused, &u.FilmsRead, &processor, &before, &u.Keep)
		u.Processor, u.Before = time.Duration(processor)*time.Microsecond, time.Duration(before)*time.Microsecond
		return u, err
	}, `SELECT c.id, coalesce(a.id, ''), coalesce(a.name, ''), coalesce(a.owner, 0),
			(SELECT count(*) FROM pitchers WHERE academy_id = c.id), (SELECT count(*) FROM bullpens WHERE academy_id = c.id), (SELECT count(*) FROM films WHERE academy_id = c.id),
			(SELECT CAST(coalesce(sum(bytes), 0) AS BIGINT) FROM files WHERE academy_id = c.id),
			(SELECT count(*) FROM jobs WHERE academy_id = c.id AND state IN ('queued', 'running')), (SELECT count(*) FROM jobs WHERE academy_id = c.id AND state = 'failed'),
			(SELECT count(*) FROM films WHERE academy_id = c.id AND state = 'refused'),
			(SELECT CAST(coalesce(sum(jobs), 0) AS BIGINT) FROM spent WHERE academy_id = c.id AND month = ? AND kind IN (`+kinds+`)),
			(SELECT CAST(coalesce(sum(processor), 0) AS BIGINT) FROM spent WHERE academy_id = c.id AND month = ?), (SELECT CAST(coalesce(sum(processor), 0) AS BIGINT) FROM spent WHERE academy_id = c.id AND month = ?),
			coalesce((SELECT value FROM settings WHERE academy_id = c.id AND name = ?), '')
		FROM academies c LEFT JOIN accounts a ON a.academy_id = c.id ORDER BY coalesce(a.owner, 0) DESC, a.name COLLATE NOCASE, c.id`, args...)
}

// Stored is how many bytes all files take that the database names.
func (s *Store) Stored(ctx context.Context) (bytes int64, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT CAST(coalesce(sum(bytes), 0) AS BIGINT) FROM files`).Scan(&bytes)
	return bytes, explain(err)
}

// Overdue is for how long at most a running job has been without a worker: since its lease
// ran out. 0 for none.
func (s *Store) Overdue(ctx context.Context) (time.Duration, error) {
	now, err := s.clock(ctx)
	if err != nil {
		return 0, err
	}
	var since int64
	err = s.read.QueryRowContext(ctx, `SELECT coalesce(min(lease), ?1) FROM jobs WHERE state = 'running' AND lease < ?1`, now).Scan(&since)
	return time.Duration(now-since) * time.Microsecond, explain(err)
}
