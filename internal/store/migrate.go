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

//go:embed migrations/*.sql
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

// migrate brings the database to the current schema, a step and a transaction at
// a time.
func (s *Store) migrate(ctx context.Context) error {
	steps, err := steps()
	if err != nil {
		return err
	}
	var have int
	if err := s.write.QueryRowContext(ctx, `PRAGMA user_version`).Scan(&have); err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The database in " + s.dir + " can't be read; bring a backup back with `tenoff restore`.", Err: err}
	}
	if have > len(steps) {
		return bullpen.Errorf(bullpen.Unavailable, "The data in %s was written by a newer tenoff; use that one, or bring an older backup back.", s.dir)
	}
	for ; have < len(steps); have++ {
		if have > 0 {
			if err := s.keep(ctx, have); err != nil {
				return err
			}
		}
		err := s.tx(ctx, func(tx *tx) error {
			if _, err := tx.Exec(steps[have]); err != nil {
				return fmt.Errorf("schema step %d: %w", have+1, err)
			}
			_, err := tx.Exec(fmt.Sprintf(`PRAGMA user_version = %d`, have+1))
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// keep puts a copy of the database as it is beside it.
func (s *Store) keep(ctx context.Context, schema int) error {
	path := filepath.Join(s.dir, fmt.Sprintf("before-schema-%d.db", schema+1))
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	_, err := s.write.ExecContext(ctx, `VACUUM INTO ?`, path)
	return explain(err)
}

// CopyTo writes a consistent copy of the database to path, which must not exist,
// while others read and write.
func (s *Store) CopyTo(ctx context.Context, path string) error {
	_, err := s.read.ExecContext(ctx, `VACUUM INTO ?`, path)
	return explain(err)
}
