package store

import (
	"context"
	"path"
	"slices"
	"time"
)

// File is one file under the data folder.
type File struct {
	Key   string
	Bytes int64
	Sum   string // SHA-256 in hex, where it is known: in lists of named files, and of those that are about to be named
}

// Original reports whether the file is a film as it came; any other is made from one.
func (f File) Original() bool { return path.Base(f.Key) == "original" }

func fileFrom(row scanner) (f File, err error) { return f, row.Scan(&f.Key, &f.Bytes) }

func text(row scanner) (t string, err error) { return t, row.Scan(&t) }

// Expect tells that files are about to be made under these keys. Until a film or a
// clip names them they are loose: should the program end before that, they are
// removed when it starts again.
func (s *Store) Expect(ctx context.Context, keys ...string) error {
	return s.tx(ctx, func(tx *tx) error {
		for _, key := range keys {
			_, err := tx.Exec(`INSERT INTO files (key, academy_id, bytes, created) VALUES (?, ?, 0, ?) ON CONFLICT (key) DO NOTHING`, key, s.own(ctx), tx.now)
			if err != nil {
				return err
			}
		}
		return nil
	})
}

// LooseFiles lists the files that nothing names, whosever they were.
func (s *Store) LooseFiles(ctx context.Context) ([]File, error) {
	return all(ctx, s.read, fileFrom, `SELECT key, bytes FROM files WHERE film_id IS NULL AND clip_id IS NULL ORDER BY key`)
}

// OldLooseFiles lists those of them that were listed before a time.
func (s *Store) OldLooseFiles(ctx context.Context, before time.Time) ([]File, error) {
	return all(ctx, s.read, fileFrom, `SELECT key, bytes FROM files WHERE film_id IS NULL AND clip_id IS NULL AND created < ? ORDER BY key`, before.UnixMicro())
}

// StillLoose returns those of the keys that nothing names.
func (s *Store) StillLoose(ctx context.Context, keys ...string) ([]string, error) {
	var loose []string
	for some := range slices.Chunk(keys, MostRows) {
		places, args := listed(some)
		found, err := all(ctx, s.read, text, `SELECT key FROM files WHERE key IN (`+places+`) AND film_id IS NULL AND clip_id IS NULL`, args...)
		if err != nil {
			return nil, err
		}
		loose = append(loose, found...)
	}
	slices.Sort(loose)
	return loose, nil
}

// Forget takes loose files off the list, once they are gone from the disk.
func (s *Store) Forget(ctx context.Context, keys ...string) error {
	return s.tx(ctx, func(tx *tx) error {
		for _, key := range keys {
			if _, err := tx.Exec(`DELETE FROM files WHERE key = ? AND film_id IS NULL AND clip_id IS NULL`, key); err != nil {
				return err
			}
		}
		return nil
	})
}

// NamedFiles lists every file that a film or a clip names, by key.
func (s *Store) NamedFiles(ctx context.Context) ([]File, error) {
	return namedFiles(ctx, s.read, `k.sum`)
}

// NamesFiles reports whether there is any.
func (s *Store) NamesFiles(ctx context.Context) (is bool, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM files WHERE film_id IS NOT NULL OR clip_id IS NOT NULL)`).Scan(&is)
	return is, explain(err)
}

// namedFiles lists them; sum is what is known of the SHA-256 of those that were made.
func namedFiles(ctx context.Context, db queryer, sum string) ([]File, error) {
	return all(ctx, db, func(row scanner) (f File, err error) {
		return f, row.Scan(&f.Key, &f.Bytes, &f.Sum)
	}, `SELECT k.key, k.bytes, CASE WHEN f.made ->> 'original' = k.key THEN f.sha256 ELSE `+sum+` END
		FROM files k LEFT JOIN films f ON f.id = k.film_id
		WHERE k.film_id IS NOT NULL OR k.clip_id IS NOT NULL ORDER BY k.key`)
}

// name puts files under a film (column film_id) or a clip (clip_id).
func (t *tx) name(column, id string, files []File) error {
	for _, f := range files {
		_, err := t.Exec(`INSERT INTO files (key, academy_id, `+column+`, bytes, sum, created) VALUES (?, ?, ?, ?, ?, ?)
			ON CONFLICT (key) DO UPDATE SET `+column+` = excluded.`+column+`, bytes = excluded.bytes, sum = excluded.sum`,
			f.Key, t.academy, id, f.Bytes, f.Sum, t.now)
		if err != nil {
			return err
		}
	}
	return nil
}

// loosen lets go of a film's or a clip's files but those kept, and returns them.
func (t *tx) loosen(column, id string, kept ...string) ([]File, error) {
	files, err := all(t.ctx, t.Tx, fileFrom, `SELECT key, bytes FROM files WHERE `+column+` = ? ORDER BY key`, id)
	if err != nil {
		return nil, err
	}
	keep := map[string]bool{}
	for _, key := range kept {
		keep[key] = true
	}
	var loose []File
	for _, f := range files {
		if keep[f.Key] {
			continue
		}
		if _, err := t.Exec(`UPDATE files SET film_id = NULL, clip_id = NULL WHERE key = ?`, f.Key); err != nil {
			return nil, err
		}
		loose = append(loose, f)
	}
	return loose, nil
}

// AllFiles returns the keys of all files that are named or loose.
func (s *Store) AllFiles(ctx context.Context) (map[string]struct{}, error) {
	keys, err := all(ctx, s.read, text, `SELECT key FROM files`)
	out := make(map[string]struct{}, len(keys))
	for _, key := range keys {
		out[key] = struct{}{}
	}
	return out, err
}
