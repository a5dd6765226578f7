package store

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"

	"tenoff/internal/bullpen"
)

// PitcherCard is a pitcher in a list.
type PitcherCard struct {
	bullpen.Pitcher
	Bullpens, Reps int
	LastDay        string           // YYYY-MM-DD of her latest bullpen, "" for none
	Gun            bullpen.GunPlace // where it stands in her next bullpen unless said: as in the latest
}

const pitcherFields = `p.id, p.version, p.label, p.hand, p.level, p.distance_feet, p.extension_feet,
	p.ball_kind, p.baseline_pitch, p.policy, p.typed_baseline, p.typed_gun, p.typed_within, p.gun_tolerance, p.bands, p.unit, p.language,
	coalesce((SELECT l.edited FROM levels l WHERE l.academy_id = p.academy_id AND l.key = p.level), '')`

func pitcherFrom(row scanner, more ...any) (p bullpen.Pitcher, err error) {
	var bands, level string
	err = row.Scan(append([]any{&p.ID, &p.Version, &p.Label, &p.Hand, &p.Level, &p.DistanceFeet, &p.ExtensionFeet,
		&p.BallKind, &p.BaselinePitch, &p.Policy, &p.TypedBaseline, &p.TypedGun, &p.TypedWithin, &p.GunTolerance, &bands, &p.Unit, &p.Language, &level}, more...)...)
	if err != nil {
		return p, err
	}
	if err := json.Unmarshal([]byte(bands), &p.Bands); err != nil {
		return p, fmt.Errorf("bands of pitcher %s: %w", p.ID, err)
	}
	edited, err := editedLevel(p.Level, level)
	p.LevelBands, p.LevelExtensionFeet = edited.Bands, edited.ExtensionFeet
	return p, err
}

// Pitchers lists every pitcher by label.
func (s *Store) Pitchers(ctx context.Context) ([]PitcherCard, error) {
	return all(ctx, s.read, pitcherCardFrom, pitchersQuery, s.own(ctx))
}

func pitcherCardFrom(row scanner) (c PitcherCard, err error) {
	c.Pitcher, err = pitcherFrom(row, &c.Bullpens, &c.Reps, &c.LastDay, &c.Gun)
	return c, err
}

// The order of the groups is the index's, so that nothing is sorted.
const pitchersQuery = `SELECT ` + pitcherFields + `, count(b.id), coalesce(sum(b.reps), 0), coalesce(max(b.day), ''),
	coalesce((SELECT l.gun FROM bullpens l INDEXED BY bullpens_by_pitcher WHERE l.pitcher_id = p.id ORDER BY l.day DESC, l.created DESC LIMIT 1), '` + string(bullpen.BehindCatcher) + `')
	FROM pitchers p LEFT JOIN bullpens b INDEXED BY bullpens_by_pitcher ON b.pitcher_id = p.id WHERE p.academy_id = ?
	GROUP BY p.label COLLATE NOCASE, p.id ORDER BY p.label COLLATE NOCASE, p.id`

// LatestPitchers lists the pitchers who threw last, at most so many, by label, and says how
// many there are in all.
func (s *Store) LatestPitchers(ctx context.Context, most int) (cards []PitcherCard, total int, err error) {
	if err := s.read.QueryRowContext(ctx, `SELECT count(*) FROM pitchers WHERE academy_id = ?`, s.own(ctx)).Scan(&total); err != nil {
		return nil, 0, explain(err)
	}
	cards, err = all(ctx, s.read, pitcherCardFrom, latestPitchersQuery, s.own(ctx), most)
	return cards, total, err
}

// Who threw last is found by the latest bullpen of each; only theirs are counted then.
const latestPitchersQuery = `SELECT ` + pitcherFields + `, count(b.id), coalesce(sum(b.reps), 0), coalesce(max(b.day), ''),
	coalesce((SELECT l.gun FROM bullpens l INDEXED BY bullpens_by_pitcher WHERE l.pitcher_id = p.id ORDER BY l.day DESC, l.created DESC LIMIT 1), '` + string(bullpen.BehindCatcher) + `')
	FROM pitchers p LEFT JOIN bullpens b INDEXED BY bullpens_by_pitcher ON b.pitcher_id = p.id
	WHERE p.id IN (SELECT o.id FROM pitchers o WHERE o.academy_id = ?
		ORDER BY coalesce((SELECT d.day FROM bullpens d INDEXED BY bullpens_by_pitcher WHERE d.pitcher_id = o.id ORDER BY d.day DESC LIMIT 1), '') DESC, o.label COLLATE NOCASE, o.id LIMIT ?)
	GROUP BY p.label COLLATE NOCASE, p.id ORDER BY p.label COLLATE NOCASE, p.id`

// Pitcher returns one pitcher.
func (s *Store) Pitcher(ctx context.Context, id string) (bullpen.Pitcher, error) {
	p, err := pitcherFrom(s.read.QueryRowContext(ctx, `SELECT `+pitcherFields+` FROM pitchers p WHERE p.id = ? AND p.academy_id = ?`, id, s.own(ctx)))
	return p, one(err, "pitcher")
}

// AddPitcher stores a new pitcher and returns her with ID and version.
func (s *Store) AddPitcher(ctx context.Context, p bullpen.Pitcher) (bullpen.Pitcher, error) {
	err := s.tx(ctx, func(tx *tx) (err error) {
		p, err = s.addPitcher(tx, p)
		return err
	})
	return p, err
}

func (s *Store) addPitcher(tx *tx, p bullpen.Pitcher) (bullpen.Pitcher, error) {
	p.ID, p.Version = newID(), 1
	bands, err := bandsJSON(p)
	if err != nil {
		return p, err
	}
	_, err = tx.Exec(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet,
		ball_kind, baseline_pitch, policy, typed_baseline, typed_gun, typed_within, gun_tolerance, bands, trust_rule, unit, language)
		VALUES (?, ?, 1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, '', ?, ?)`,
		p.ID, tx.academy, tx.now, p.Label, p.Hand, p.Level, p.DistanceFeet, p.ExtensionFeet,
		p.BallKind, p.BaselinePitch, p.Policy, p.TypedBaseline, p.TypedGun, p.TypedWithin, p.GunTolerance, bands, p.Unit, cmp.Or(p.Language, "en"))
	return p, err
}

// SavePitcher stores p if p.Version is still the current one.
func (s *Store) SavePitcher(ctx context.Context, p bullpen.Pitcher) (bullpen.Pitcher, error) {
	bands, err := bandsJSON(p)
	if err != nil {
		return p, err
	}
	err = s.tx(ctx, func(tx *tx) error {
		err := tx.update("pitcher", "pitchers", p.ID, p.Version, `label = ?, hand = ?, level = ?, distance_feet = ?, extension_feet = ?,
			ball_kind = ?, baseline_pitch = ?, policy = ?, typed_baseline = ?, typed_gun = ?, typed_within = ?, gun_tolerance = ?, bands = ?, unit = ?, language = ?`,
			p.Label, p.Hand, p.Level, p.DistanceFeet, p.ExtensionFeet,
			p.BallKind, p.BaselinePitch, p.Policy, p.TypedBaseline, p.TypedGun, p.TypedWithin, p.GunTolerance, bands, p.Unit, cmp.Or(p.Language, "en"))
		if err != nil {
			return err
		}
		return tx.touchAll(`SELECT id FROM bullpens WHERE pitcher_id = ?`, p.ID)
	})
	p.Version++
	return p, err
}

// touchAll raises the revision of every bullpen the query names: their numbers
// hang on what changed. Their reps are still those that were counted.
func (t *tx) touchAll(query string, args ...any) error {
	_, err := all(t.ctx, t.Tx, func(row scanner) (id string, err error) {
		var revision int64
		err = row.Scan(&id, &revision)
		t.changed[id] = revision
		return id, err
	}, `UPDATE bullpens SET revision = revision + 1 WHERE id IN (`+query+`) RETURNING id, revision`, args...)
	return err
}

func bandsJSON(p bullpen.Pitcher) (string, error) {
	if p.Bands == nil {
		return "{}", nil
	}
	text, err := json.Marshal(p.Bands)
	return string(text), err
}

// TrustRule returns a pitcher's trust rule as it was stored, "" for the default.
func (s *Store) TrustRule(ctx context.Context, pitcherID string) (rule string, err error) {
	err = s.read.QueryRowContext(ctx, `SELECT trust_rule FROM pitchers WHERE id = ? AND academy_id = ?`, pitcherID, s.own(ctx)).Scan(&rule)
	return rule, one(err, "pitcher")
}

// SaveTrustRule stores a pitcher's trust rule if version is still her current one.
func (s *Store) SaveTrustRule(ctx context.Context, pitcherID string, version int64, rule string) error {
	return s.tx(ctx, func(tx *tx) error {
		return tx.update("pitcher", "pitchers", pitcherID, version, `trust_rule = ?`, rule)
	})
}
