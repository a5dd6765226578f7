package store

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"sort"

	"tenoff/internal/bullpen"
)

//go:embed migrations/*.sql migrations/postgres/*.sql
var migrations embed.FS

// steps returns the migrations in order; step i brings schema i to i+1.
func steps() ([]string, error) {
	names, err := fs.Glob(migrations, "migrations/*.sql")
	if err != nil {
		return nil, err
	}
	sort.Strings(names)
	out := make([]string, len(names))
	for i, name := range names {
		text, err := migrations.ReadFile(name)
		if err != nil {
			return nil, err
		}
		out[i] = string(text)
	}
	return out, nil
}

// application marks a database file as ours (PRAGMA application_id): "tnof".
const application = 0x746e6f66

// schemaOf returns which schema a database in dir has, 0 for an empty one. One that
// is not ours, or newer than newest, is refused.
func schemaOf(ctx context.Context, db queryer, dir string, newest int) (int, error) {
	var have, whose, tables int
	err := db.QueryRowContext(ctx, `SELECT (SELECT user_version FROM pragma_user_version), (SELECT application_id FROM pragma_application_id),
		(SELECT count(*) FROM sqlite_schema)`).Scan(&have, &whose, &tables)
	switch {
	case err != nil && bullpen.CodeOf(explain(err)) == bullpen.Unavailable:
		return 0, explain(err)
	case err != nil:
		return 0, &bullpen.Error{Code: bullpen.Unavailable, Message: "The database in " + dir + " can't be read; bring a backup back with `tenoff restore`.", Err: err}
	case whose != application && (have > 0 || tables > 0):
		return 0, bullpen.Errorf(bullpen.Unavailable, "The %s in %s is not one of tenoff's; name another data folder.", Database, dir)
	case have > newest:
		return 0, bullpen.Errorf(bullpen.Unavailable, "The data in %s was written by a newer tenoff; use that one, or bring an older backup back.", dir)
	}
	return have, nil
}

// migrate brings the database to the newest schema. A new one gets all steps in one
// transaction. One that is in use takes a step and a transaction at a time, and before
// each keep is told to which schema.
func (s *Store) migrate(ctx context.Context, steps []string, keep func(ctx context.Context, schema int) error) error {
	have, err := schemaOf(ctx, s.write, s.dir, len(steps))
	if err != nil || have == len(steps) {
		return err
	}
	// A step may rebuild a table that others refer to; the references are checked
	// at its end. The setting can only be changed between transactions.
	if _, err := s.write.ExecContext(ctx, `PRAGMA foreign_keys = off`); err != nil {
		return explain(err)
	}
	for have < len(steps) {
		to := len(steps)
		if have > 0 {
			to = have + 1
			if err := keep(ctx, to); err != nil {
				return err
			}
		}
		if have, err = s.climb(ctx, steps, to); err != nil {
			return err
		}
	}
	_, err = s.write.ExecContext(ctx, `PRAGMA foreign_keys = on`)
	return explain(err)
}

// climb brings the database to a schema, or not at all, and returns which it has then.
// It looks again first: another program may just have done it.
func (s *Store) climb(ctx context.Context, steps []string, to int) (have int, err error) {
	err = s.tx(ctx, func(tx *tx) error {
		if have, err = schemaOf(ctx, tx, s.dir, len(steps)); err != nil || have >= to {
			return err
		}
		for ; have < to; have++ {
			if _, err := tx.Exec(steps[have]); err != nil {
				return fmt.Errorf("schema step %d: %w", have+1, err)
			}
		}
		broken, err := all(ctx, tx, text, `SELECT "table" FROM pragma_foreign_key_check`)
		if err != nil {
			return err
		}
		if len(broken) > 0 {
			return fmt.Errorf("schema step %d: broken references in %v", have, broken)
		}
		_, err = tx.Exec(fmt.Sprintf(`PRAGMA user_version = %d; PRAGMA application_id = %d`, have, application))
		return err
	})
	return have, err
}

// Empty reports whether the folder dir has no database, or one that nothing was ever
// written to.
func Empty(ctx context.Context, dir string) (bool, error) {
	path := filepath.Join(dir, Database)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return true, nil
	} else if err != nil {
		return false, err
	}
	db, err := pool(path, 1, "mode=rw")
	if err != nil {
		return false, err
	}
	defer db.Close()
	var tables int
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&tables); err != nil {
		return false, nil // whoever opens it says what is wrong with it
	}
	return tables == 0, nil
}

// copyOf names the copy of a database as it was before it got a schema.
const copyOf = "before-schema-%d.db"

// Copies lists the copies of the database in the folder dir that were put beside it.
func Copies(dir string) (paths []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	for _, e := range entries {
		var schema int
		if n, _ := fmt.Sscanf(e.Name(), copyOf, &schema); n == 1 && e.Name() == fmt.Sprintf(copyOf, schema) {
			paths = append(paths, filepath.Join(dir, e.Name()))
		}
	}
	return paths, nil
}

// keep puts a copy of the database, as it is before it gets that schema, beside it, and
// notes that it has to be rewritten: what an older program deleted may still lie in free
// pages.
func (s *Store) keep(ctx context.Context, schema int) error {
	if err := s.mark(migratedMark); err != nil {
		return err
	}
	path := filepath.Join(s.dir, fmt.Sprintf(copyOf, schema))
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return copyDatabase(ctx, s.write, path)
}
