package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// CopyTo writes a consistent copy of all rows to a database file at path, which must not
// exist, while others read and write, and flushes it to the disk. It is the same file
// wherever the rows lie.
func (s *Store) CopyTo(ctx context.Context, path string) error { return s.engine.copyTo(ctx, path) }

func copyDatabase(ctx context.Context, db *sql.DB, path string) error {
	if _, err := db.ExecContext(ctx, `VACUUM INTO ?`, path); err != nil {
		return explain(err)
	}
	return flushCopy(path)
}

// flushCopy brings a copy of a database to the disk, and lets nobody but its owner read it.
func flushCopy(path string) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return err
	}
	return disk.Flush(filepath.Dir(path))
}

// Closed counts what opened a database to somebody and does no more.
type Closed struct {
	Links    int // slips and links to results that were open
	Sessions int // that were signed in
}

// openCopy opens a copy of a database that nobody has open. No file stays beside it: a
// journal would be left behind by its renaming.
func openCopy(path string) (*Store, error) {
	db, err := pool(path, 1, "_journal_mode=DELETE", "_synchronous=FULL", "_txlock=immediate")
	s := onFile(filepath.Dir(path), time.Now)
	s.write = db
	return s, err
}

// ofKeysIn changes a copy of a database that nobody has open, in one transaction; asked
// lists keys as JSON.
func ofKeysIn(ctx context.Context, path string, keys []string, change func(s *Store, tx *tx, asked string) error) (err error) {
	s, err := openCopy(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	asked, err := json.Marshal(keys)
	if err != nil {
		return err
	}
	return s.tx(ctx, func(tx *tx) error { return change(s, tx, string(asked)) })
}

// ReadAgainIn has the films read again, by a job of that kind, of which one of the files
// was made, in a copy of a database of the current schema that nobody has open. What was
// made of them is named no more. A film whose original is not kept stays as it is.
func ReadAgainIn(ctx context.Context, path string, keys []string, kind string) error {
	return ofKeysIn(ctx, path, keys, func(s *Store, tx *tx, asked string) error {
		films, err := all(ctx, tx, filmFrom, `SELECT `+filmFields+` FROM films f WHERE f.state = 'ready'
			AND f.id IN (SELECT film_id FROM files WHERE key IN (SELECT value FROM json_each(?)))
			AND json_extract(f.made, '$.original') IN (SELECT key FROM files WHERE film_id = f.id)`, asked)
		if err != nil {
			return err
		}
		for _, f := range films {
			if err := tx.QueryRow(`UPDATE films SET state = 'reading', made = json_object('original', ?1), version = version + 1 WHERE id = ?2 RETURNING academy_id`,
				f.Made.Original, f.ID).Scan(&tx.academy); err != nil {
				return err
			}
			if _, err := tx.Exec(`DELETE FROM files WHERE film_id = ? AND key <> ?`, f.ID, f.Made.Original); err != nil {
				return err
			}
			if _, err := s.addJob(tx, NewJob{Kind: kind, Subject: f.ID, BullpenID: f.BullpenID, Payload: "{}"}); err != nil {
				return err
			}
		}
		return nil
	})
}

// MakeAgainIn has the clips on the shelf rendered again, by a job of that kind, of which
// one of the files was made, in a copy of a database of the current schema that nobody has
// open. What they are stays until then. A clip of a rep that was taken out is due when the
// rep is back and it is asked for.
func MakeAgainIn(ctx context.Context, path string, keys []string, kind string) error {
	return ofKeysIn(ctx, path, keys, func(s *Store, tx *tx, asked string) error {
		clips, err := all(ctx, tx, clipFrom, `SELECT `+clipFields+` FROM clips c WHERE c.sent_with IS NULL
			AND c.id IN (SELECT clip_id FROM files WHERE key IN (SELECT value FROM json_each(?)))`, asked)
		if err != nil {
			return err
		}
		for _, c := range clips {
			var out bool
			if err := tx.QueryRow(`SELECT academy_id, deleted FROM reps WHERE id = ?`, c.RepID).Scan(&tx.academy, &out); err != nil {
				return err
			}
			if _, err := tx.Exec(`UPDATE clips SET shows = '' WHERE id = ?`, c.ID); err != nil {
				return err
			}
			if out {
				continue
			}
			j, err := s.addJob(tx, NewJob{Kind: kind, Subject: c.ID, BullpenID: c.BullpenID, Payload: "{}"})
			if err != nil {
				return err
			}
			if _, err := tx.Exec(`UPDATE clips SET state = 'queued', problem = '', job_id = ? WHERE id = ?`, j.ID, c.ID); err != nil {
				return err
			}
		}
		return nil
	})
}

// CloseAllIn brings a copy of a database that nobody has open to the current schema,
// closes the links and ends the sessions of all its academies, has its rows be a line of
// their own from then on (see Follows), and flushes it to the disk, with nothing in it but its rows. The links can be renewed, one by one: a schema
// of before could not tell them from those that were revoked.
func CloseAllIn(ctx context.Context, path string) (c Closed, err error) {
	steps, err := steps()
	if err != nil {
		return c, err
	}
	s, err := openCopy(path)
	if err != nil {
		return c, err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	if err := s.migrate(ctx, steps, func(context.Context, int) error { return nil }); err != nil { // what it was copied from is kept
		return c, err
	}
	err = s.tx(ctx, func(t *tx) error {
		err := t.QueryRow(`SELECT (SELECT count(*) FROM slips WHERE closed = 0 AND expires > ?1) + (SELECT count(*) FROM shares WHERE closed = 0 AND expires > ?1), (SELECT count(*) FROM sessions WHERE expires > ?1)`, t.now).Scan(&c.Links, &c.Sessions)
		if err != nil {
			return err
		}
		if _, err := t.Exec(`UPDATE field_links SET closed = ? WHERE closed = 0`, t.now); err != nil {
			return err
		}
		for _, of := range []links{slipLinks, shareLinks} {
			if _, err := t.Exec(`UPDATE `+of.table+` SET closed = ?, restored = 1 WHERE closed = 0`, t.now); err != nil {
				return err
			}
		}
		if _, err = t.Exec(`DELETE FROM sessions`); err != nil {
			return err
		}
		return t.beginLine()
	})
	if err != nil {
		return c, err
	}
	_, err = s.write.ExecContext(ctx, `VACUUM`)
	return c, explain(err)
}

// lineSetting is the first academy's setting that tells a line. Rows that are brought back from
// a backup begin one: where those that the backup was taken of are worked on as well, each has
// what the other has not.
const lineSetting = "line"

type line struct {
	ID    string `json:"id"`    // "" for rows that were never brought back
	Until int64  `json:"until"` // when the newest of what came with the backup was made, in microseconds
}

// newest says when the newest film, bullpen or rep was made.
const newest = `SELECT coalesce(max(at), 0) FROM (SELECT max(created) AS at FROM films UNION ALL SELECT max(created) FROM bullpens UNION ALL SELECT max(created) FROM reps) made`

func (t *tx) beginLine() error {
	l := line{ID: newID()}
	if err := t.QueryRow(newest).Scan(&l.Until); err != nil {
		return err
	}
	said, err := json.Marshal(l)
	if err != nil {
		return err
	}
	if _, err := t.Exec(`DELETE FROM settings WHERE name = ?`, lineSetting); err != nil {
		return err
	}
	_, err = t.Exec(`INSERT INTO settings (academy_id, name, value) SELECT id, ?, ? FROM academies ORDER BY created, id LIMIT 1`, lineSetting, string(said))
	return err
}

// Follows reports whether a copy of a database has, but for what was deleted, all that an
// earlier copy of the same data has: it is of the same line, or the earlier one has nothing
// newer than what the copy's line began with.
func Follows(ctx context.Context, path, earlier string) (bool, error) {
	mine, _, err := lineIn(ctx, path)
	if err != nil {
		return false, err
	}
	before, newest, err := lineIn(ctx, earlier)
	return mine.ID == before.ID || newest <= mine.Until, err
}

// lineIn returns the line of a copy of a database, and when the newest in it was made.
func lineIn(ctx context.Context, path string) (l line, made int64, err error) {
	file, err := sql.Open("sqlite3", uri(path)+"?mode=ro&immutable=1")
	if err != nil {
		return l, 0, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	if err := file.QueryRowContext(ctx, newest).Scan(&made); err != nil {
		return l, 0, explain(err)
	}
	var said string
	err = file.QueryRowContext(ctx, `SELECT value FROM settings WHERE name = ?`, lineSetting).Scan(&said)
	if errors.Is(err, sql.ErrNoRows) {
		return l, made, nil
	}
	if err != nil {
		return l, 0, explain(err)
	}
	return l, made, json.Unmarshal([]byte(said), &l)
}

// NamedIn lists the files that a copy of a database names, after having checked
// that the copy is sound and no newer than this program.
func NamedIn(ctx context.Context, path string) ([]File, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, &bullpen.Error{Code: bullpen.NotFound, Message: "There is no " + Database + " in " + filepath.Dir(path) + ".", Err: err}
	}
	// Nobody else has the copy open, and it may lie where nothing can be written.
	db, err := sql.Open("sqlite3", uri(path)+"?mode=ro&immutable=1")
	if err != nil {
		return nil, err
	}
	defer db.Close()
	db.SetMaxOpenConns(1)
	var sound string
	if err := db.QueryRowContext(ctx, `PRAGMA quick_check(1)`).Scan(&sound); err != nil || sound != "ok" {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: path + " is damaged; take another backup.", Err: errors.Join(err, errors.New(sound))}
	}
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	if _, err := schemaOf(ctx, db, filepath.Dir(path), len(steps)); err != nil {
		return nil, err
	}
	var has bool
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM pragma_table_info('files') WHERE name = 'sum'`).Scan(&has); err != nil {
		return nil, explain(err)
	}
	if !has { // an older database
		return namedFiles(ctx, db, `''`)
	}
	return namedFiles(ctx, db, `k.sum`)
}
