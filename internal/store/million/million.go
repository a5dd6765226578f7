// Package million fills a database for benchmarks.
package million

import (
	"context"
	"database/sql"
	"encoding/binary"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	_ "github.com/mattn/go-sqlite3" // the database
)

// What Fill puts down: a million reps, among them one pitcher of 300 bullpens and
// one bullpen of 5,000 reps. Filmed bullpens have a film of ten minutes, a release on
// every rep and the instants that were found, a third of which were accepted. No mark was
// placed by hand: from one, instants would be looked for again in all of the films, of which
// there is nothing but rows.
const (
	bullpens     = 278 // of each pitcher
	reps         = 60  // of each bullpen
	manyBullpens = 300
	longBullpen  = 5000
	oneFilmed    = 10 // bullpens in a filmed one
	frames       = 18000
)

// Seeded is what a benchmark needs to know of what was put down, as IDs.
type Seeded struct {
	Reps               int
	Pitchers, Bullpens []string // without Long
	Filmed             []string // those of Bullpens that have a film
	Many, Long         string   // the pitcher of 300 bullpens, the bullpen of 5,000 reps
	SomeReps           []string // one of each of Bullpens
}

// Clone is a copy that can be changed by itself.
func (m Seeded) Clone() Seeded {
	m.Pitchers, m.Bullpens, m.Filmed, m.SomeReps = slices.Clone(m.Pitchers), slices.Clone(m.Bullpens), slices.Clone(m.Filmed), slices.Clone(m.SomeReps)
	return m
}

// keep is where a filled database is kept for the next run: to fill one takes a minute,
// and longer on a machine at work.
var keep = flag.String("million", "", "a folder that keeps the database with a million reps for the next run")

// some is how many pitchers there are: a tenth of them shows what the statements of a write
// cost, but not how that grows.
var some = flag.Int("pitchers", 60, "how many pitchers the database has; 60 make a million reps")

// Fill fills the new database file that lies in dir with a million reps of its first
// academy, always the same. Nobody may have it open.
func Fill(tb testing.TB, dir, database string) (m Seeded) {
	tb.Helper()
	path := filepath.Join(dir, database)
	if *keep == "" {
		if err := m.into(tb.Context(), path); err != nil {
			tb.Fatal(err)
		}
		return m
	}
	kept, list := filepath.Join(*keep, database), filepath.Join(*keep, "seeded.json")
	text, err := os.ReadFile(list)
	switch {
	case err == nil:
		err = errors.Join(json.Unmarshal(text, &m), copyFile(path, kept))
	case errors.Is(err, fs.ErrNotExist):
		if err = m.into(tb.Context(), path); err == nil {
			err = copyFile(kept, path)
		}
		if text, jsonErr := json.Marshal(m); err == nil {
			err = errors.Join(jsonErr, os.WriteFile(list, text, 0o600))
		}
	}
	if err != nil {
		tb.Fatal(err)
	}
	return m
}

func copyFile(to, from string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.Create(to)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

func (m *Seeded) into(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite3", path+"?_foreign_keys=on&_synchronous=OFF&_cache_size=-200000&_busy_timeout=5000")
	if err != nil {
		return err
	}
	defer db.Close()
	tx, err := db.BeginTx(ctx, nil)
	if err != nil {
		return err
	}
	if *m, err = fill(ctx, tx); err != nil {
		return err
	}
	if err := tx.Commit(); err != nil {
		return err
	}
	_, err = db.ExecContext(ctx, `PRAGMA wal_checkpoint(TRUNCATE)`)
	return err
}

type seeder struct {
	*sql.Tx
	random                       *rand.Rand
	academy                      string
	pen, film, rep, found, taken *sql.Stmt
	ticks                        []byte
	m                            Seeded
}

func fill(ctx context.Context, tx *sql.Tx) (Seeded, error) {
	s := &seeder{Tx: tx, random: rand.New(rand.NewPCG(3, 4)), ticks: ticks()}
	if err := tx.QueryRow(`SELECT id FROM academies ORDER BY created, id LIMIT 1`).Scan(&s.academy); err != nil {
		return s.m, err
	}
	for into, text := range map[**sql.Stmt]string{
		&s.pen: `INSERT INTO bullpens (id, academy_id, pitcher_id, version, revision, created, day, day_said, title, gun, unit, step, note, reps, readings, warm_ups)
			VALUES (?, ?, ?, 1, 2, ?, ?, 1, '', 'behind catcher', 'mph', 1, '', ?, ?, 5)`,
		&s.film: `INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position, recorded,
			width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			VALUES (?, ?, ?, 1, 0, 'bullpen.mp4', ?, 500000000, 'ready', '', 0, 0, 1920, 1080, 'h264', 0, 1, 1, 15360, ?, 1, 1, '', '{}')`,
		&s.rep: `INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, begun, version, created, deleted, film_id,
			drive, plant, top, "release", place, pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note)
			VALUES (?, ?, ?, ?, ?, ?, 1, 0, 0, ?, ?, ?, ?, ?, ?, ?, ?, 'mph', 1, 'behind catcher', ?, 0, 0, '', ?, '')`,
		&s.found: `INSERT INTO instants (rep_id, academy_id, film_id, mark, slow, trace, drive, drive_match, drive_sure, plant, plant_match, plant_sure,
			top, top_match, top_sure, "release", release_match, release_sure, stretch, whole_match)
			VALUES (?1, ?2, ?3, ?4, 1, 1, (?4 - 21) / 30.0, 0.9, 1, (?4 - 5) / 30.0, 0.9, 1, (?4 - 7) / 30.0, 0.9, 1, ?4 / 30.0, 0.9, 1, 0, 0.9)`,
		&s.taken: `INSERT INTO accepted (rep_id, version, academy_id, drive, plant, top) VALUES (?, 1, ?, ?, ?, ?)`,
	} {
		stmt, err := tx.PrepareContext(ctx, text)
		if err != nil {
			return s.m, err
		}
		defer stmt.Close()
		*into = stmt
	}
	for i := range *some {
		if err := s.pitcher(i); err != nil {
			return s.m, err
		}
	}
	// What every writer keeps, see the store's touch.
	_, err := tx.ExecContext(ctx, `UPDATE bullpens SET usual = (SELECT avg(reading) FROM reps
		WHERE bullpen_id = bullpens.id AND warm_up = 0 AND drill = '' AND pitch IN ('fb', 'dr', 'ri'))`)
	return s.m, err
}

// ticks is the clock of a film of 30 frames a second, as the store packs it.
func ticks() []byte {
	out := binary.AppendVarint(nil, 0)
	for range frames - 1 {
		out = binary.AppendVarint(out, 512)
	}
	return out
}

func (s *seeder) id(kind string) string { return fmt.Sprintf("%s%024x", kind, s.random.Uint64()) }

func (s *seeder) pitcher(i int) error {
	id := s.id("p")
	s.m.Pitchers = append(s.m.Pitchers, id)
	_, err := s.Exec(`INSERT INTO pitchers (id, academy_id, version, created, label, hand, level, distance_feet, extension_feet,
		ball_kind, baseline_pitch, policy, typed_baseline, gun_tolerance, bands, trust_rule, unit)
		VALUES (?, ?, 1, 0, ?, 'right', '14U', 43, NULL, '12 in', 'fb', '', 0, 1, '{}', '', 'mph')`, id, s.academy, fmt.Sprintf("pitcher %d", i))
	n := bullpens
	if i == 0 {
		s.m.Many, n = id, manyBullpens
	}
	for j := range n {
		if err == nil {
			err = s.bullpen(id, i, j)
		}
	}
	return err
}

func (s *seeder) bullpen(pitcher string, i, j int) error {
	id, n, filmID := s.id("b"), reps, any(nil)
	begun := int64(i*1000 + j)
	day := time.Date(2023, 1, 1+j*4+i%4, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
	switch {
	case i == 1 && j == 0:
		s.m.Long, n = id, longBullpen
	default:
		s.m.Bullpens = append(s.m.Bullpens, id)
		if len(s.m.Bullpens)%oneFilmed == 0 {
			s.m.Filmed, filmID = append(s.m.Filmed, id), s.id("f")
		}
	}
	if _, err := s.pen.Exec(id, s.academy, pitcher, begun, day, n, n); err != nil {
		return err
	}
	if filmID != nil {
		if _, err := s.film.Exec(filmID, s.academy, id, s.id(""), s.ticks); err != nil {
			return err
		}
	}
	for k := range n {
		rep, err := s.thrown(id, pitcher, day, begun, filmID, k)
		if err != nil {
			return err
		}
		if k == n/2 && n == reps {
			s.m.SomeReps = append(s.m.SomeReps, rep)
		}
	}
	s.m.Reps += n
	return nil
}

// thrown puts down rep k of a bullpen and returns its ID.
func (s *seeder) thrown(pen, pitcher, day string, begun int64, filmID any, k int) (string, error) {
	pitch, speed := "fb", 52+s.random.IntN(5)
	switch k % 5 {
	case 2:
		pitch, speed = "ch", 41+s.random.IntN(6)
	case 3:
		pitch = "dr"
	case 4:
		pitch = "ri"
	}
	if pitch == "ch" && s.random.IntN(20000) == 0 {
		speed = 35 // too soft: rare
	}
	drill := ""
	if k%4 == 0 {
		drill = "wall"
	}
	id, release := s.id("r"), -1
	drive, plant, top := -1, -1, -1
	if filmID != nil {
		release = 100 + k*290
		if k%3 == 0 {
			drive, plant, top = release-21, release-5, release-7
		}
	}
	if _, err := s.rep.Exec(id, s.academy, pen, pitcher, day, begun, filmID, drive, plant, top, release, k+1, pitch, speed, drill, k < 5); err != nil || filmID == nil {
		return id, err
	}
	if _, err := s.found.Exec(id, s.academy, filmID, release); err != nil {
		return id, err
	}
	if drive >= 0 {
		_, err := s.taken.Exec(id, s.academy, drive, plant, top)
		return id, err
	}
	return id, nil
}
