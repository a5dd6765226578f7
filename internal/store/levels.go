package store

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"

	"tenoff/internal/bullpen"
)

// Level is a level with its version; 0 is the default, never edited.
type Level struct {
	bullpen.Level
	Version int64
}

// Levels lists every level, the edited ones as edited.
func (s *Store) Levels(ctx context.Context) ([]Level, error) {
	type edit struct {
		key, text string
		version   int64
	}
	edits, err := all(ctx, s.read, func(row scanner) (e edit, err error) {
		return e, row.Scan(&e.key, &e.text, &e.version)
	}, `SELECT key, edited, version FROM levels WHERE academy_id = ?`, s.own(ctx))
	if err != nil {
		return nil, err
	}
	out := make([]Level, len(bullpen.Levels))
	for i, l := range bullpen.Levels {
		out[i].Level = l
		for _, e := range edits {
			if e.key != l.Key {
				continue
			}
			if out[i].Level, err = editedLevel(e.key, e.text); err != nil {
				return nil, err
			}
			out[i].Version = e.version
		}
	}
	return out, nil
}

// editedLevel reads a level as it was edited; "" is one that never was.
func editedLevel(key, edited string) (bullpen.Level, error) {
	l, _ := bullpen.LevelOf(key)
	if edited == "" {
		return l, nil
	}
	if err := json.Unmarshal([]byte(edited), &l); err != nil {
		return l, fmt.Errorf("level %s: %w", key, err)
	}
	return l, nil
}

// Level returns one level.
func (s *Store) Level(ctx context.Context, key string) (Level, error) {
	levels, err := s.Levels(ctx)
	for _, l := range levels {
		if l.Key == key {
			return l, err
		}
	}
	return Level{}, errors.Join(err, notFound("level"))
}

// SaveLevel stores an edited level if l.Version is still the current one. With other
// bands, or another extension, its pitchers' numbers are others from then on; the revisions
// of their bullpens rise soon after, see CatchUp.
func (s *Store) SaveLevel(ctx context.Context, l Level) (Level, error) {
	if _, ok := bullpen.LevelOf(l.Key); !ok {
		return l, notFound("level")
	}
	text, err := json.Marshal(l.Level)
	if err != nil {
		return l, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		var now int64
		var edited string
		err := tx.QueryRow(`SELECT version, edited FROM levels WHERE academy_id = ? AND key = ?`, tx.academy, l.Key).Scan(&now, &edited)
		if err != nil && !errors.Is(err, sql.ErrNoRows) {
			return err
		}
		if now != l.Version {
			return stale("level")
		}
		before, err := editedLevel(l.Key, edited)
		if err != nil {
			return err
		}
		_, err = tx.Exec(`INSERT INTO levels (academy_id, key, version, edited) VALUES (?, ?, ?, ?)
			ON CONFLICT (academy_id, key) DO UPDATE SET version = excluded.version, edited = excluded.edited`, tx.academy, l.Key, now+1, string(text))
		if err != nil || before.ExtensionFeet == l.ExtensionFeet && reflect.DeepEqual(before.Bands, l.Bands) {
			return err
		}
		return tx.leaveBehind(l.Key)
	})
	l.Version++
	return l, err
}
