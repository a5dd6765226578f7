package store

import (
	"context"
	"database/sql"
	"errors"
)

// Setting returns a setting of the academy as it was stored (JSON by convention),
// "" for one that was never set.
func (s *Store) Setting(ctx context.Context, name string) (value string, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT value FROM settings WHERE academy_id = ? AND name = ?`, s.own(ctx), name).Scan(&value)
	if errors.Is(err, sql.ErrNoRows) {
		return "", nil
	}
	return value, explain(err)
}

// SaveSetting stores a setting of the academy.
func (s *Store) SaveSetting(ctx context.Context, name, value string) error {
	return s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`INSERT INTO settings (academy_id, name, value) VALUES (?, ?, ?)
			ON CONFLICT (academy_id, name) DO UPDATE SET value = excluded.value`, s.own(ctx), name, value)
		return err
	})
}

// SettingOnce stores a setting of the first academy unless there is one, and returns the one
// that is there then.
func (s *Store) SettingOnce(ctx context.Context, name, value string) (kept string, err error) {
	ctx = Within(ctx, s.first)
	if kept, err = s.Setting(ctx, name); kept != "" || err != nil {
		return kept, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		_, err := tx.Exec(`INSERT INTO settings (academy_id, name, value) VALUES (?, ?, ?) ON CONFLICT (academy_id, name) DO NOTHING`, s.first, name, value)
		return err
	})
	if err != nil {
		return "", err
	}
	return s.Setting(ctx, name)
}
