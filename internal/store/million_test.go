package store

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// What the benchmark's store holds: a million reps, among them one pitcher of 300
// bullpens and one bullpen of 5,000 reps.
const (
	seedPitchers = 60
	seedBullpens = 278 // of each pitcher
	seedReps     = 60  // of each bullpen
	manyBullpens = 300
	longBullpen  = 5000
)

// BenchmarkMillion prints how long the queries behind the pages take with a million
// reps stored: p50-ms and p95-ms, and the mean time of the processor, which other
// programs at work disturb less.
func BenchmarkMillion(b *testing.B) {
	s := fresh(b)
	began := time.Now()
	m := seed(b, s)
	b.Logf("%d reps seeded in %.0f s", m.reps, time.Since(began).Seconds())
	ctx := context.Background()
	random := rand.New(rand.NewPCG(1, 2))
	bull := func() string { return m.bullpens[random.IntN(len(m.bullpens))] }
	who := func() string { return m.pitchers[random.IntN(len(m.pitchers))] }
	page := func(f RepFilter) func() error {
		var p Page
		return func() error {
			p.Limit = 100
			_, next, err := s.FindReps(ctx, f, p)
			p.Cursor = next
			return err
		}
	}
	for name, query := range map[string]func() error{
		"ledger of 60 reps":                      func() error { _, err := s.Reps(ctx, bull()); return err },
		"ledger of 5000 reps":                    func() error { _, err := s.Reps(ctx, m.long); return err },
		"filter: all, page by page":              page(RepFilter{}),
		"filter: pitch, page by page":            page(RepFilter{Pitch: bullpen.ChangeUp}),
		"filter: pitch nobody throws":            page(RepFilter{Pitch: bullpen.Screw}),
		"filter: pitch of one day":               page(RepFilter{Pitch: bullpen.ChangeUp, From: "2024-05-05", To: "2024-05-05"}),
		"filter: pitcher":                        func() error { _, _, err := s.FindReps(ctx, RepFilter{PitcherID: who()}, Page{Limit: 100}); return err },
		"filter: pitcher and pitch in one month": page(RepFilter{PitcherID: m.many, Pitch: bullpen.ChangeUp, From: "2024-05-01", To: "2024-05-31"}),
		"pitchers":                               func() error { _, err := s.Pitchers(ctx); return err },
		"bullpens, first page":                   func() error { _, _, err := s.Bullpens(ctx, "", Page{Limit: 50}); return err },
		"pitcher of 300: bullpens":               func() error { _, _, err := s.Bullpens(ctx, m.many, Page{Limit: 500}); return err },
		"pitcher of 300: load":                   func() error { _, err := s.ThrowDays(ctx, m.many); return err },
		"pitcher of 300: 18000 throws":           func() error { _, err := s.PitcherThrows(ctx, m.many); return err },
		"pitcher of 300: 18000 reps":             func() error { _, err := s.PitcherReps(ctx, m.many); return err },
		"add a rep": func() error {
			_, _, err := s.AddRep(ctx, unmarked(bullpen.Bullpen{ID: bull()}, bullpen.Fastball, 50))
			return err
		},
	} {
		b.Run(name, func(b *testing.B) {
			var took []float64
			before := cpu(b)
			for b.Loop() {
				from := time.Now()
				if err := query(); err != nil {
					b.Fatal(err)
				}
				took = append(took, float64(time.Since(from).Microseconds())/1000)
			}
			b.ReportMetric((cpu(b)-before)/float64(len(took)), "cpu-ms")
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2], "p50-ms")
			b.ReportMetric(took[len(took)*95/100], "p95-ms")
		})
	}
}

// cpu is how long the process has been at work, milliseconds.
func cpu(b *testing.B) float64 {
	b.Helper()
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		b.Fatal(err)
	}
	return float64(used.Utime.Nano()+used.Stime.Nano()) / 1e6
}

// seeded is what a benchmark needs to know of what was stored.
type seeded struct {
	reps               int
	pitchers, bullpens []string
	many, long         string // a pitcher and a bullpen
}

func seed(b *testing.B, s *Store) seeded {
	b.Helper()
	var m seeded
	level, _ := bullpen.LevelOf("14U")
	random := rand.New(rand.NewPCG(3, 4))
	err := s.tx(b.Context(), func(tx *tx) error {
		rep, err := tx.Prepare(`INSERT INTO reps (id, academy_id, bullpen_id, pitcher_id, day, version, created, deleted, film_id,
			drive, plant, top, "release", place, pitch, reading, unit, step, gun, drill, set_number, number, called, warm_up, note)
			VALUES (?, ?, ?, ?, ?, 1, 0, 0, NULL, -1, -1, -1, -1, ?, ?, ?, 'mph', 1, 'behind catcher', ?, 0, 0, '', ?, '')`)
		if err != nil {
			return err
		}
		defer rep.Close()
		pitches := []bullpen.Pitch{bullpen.Fastball, bullpen.Fastball, bullpen.ChangeUp, bullpen.Drop, bullpen.Rise}
		for i := range seedPitchers {
			p, err := s.addPitcher(tx, bullpen.NewPitcher(fmt.Sprintf("pitcher %d", i), level))
			if err != nil {
				return err
			}
			m.pitchers = append(m.pitchers, p.ID)
			bullpens := seedBullpens
			if i == 0 {
				m.many, bullpens = p.ID, manyBullpens
			}
			for j := range bullpens {
				day := time.Date(2023, 1, 1+j*4+i%4, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
				pen, err := s.addBullpen(tx, bullpen.Bullpen{PitcherID: p.ID, Day: day, Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
				if err != nil {
					return err
				}
				reps := seedReps
				if i == 1 && j == 0 {
					m.long, reps = pen.ID, longBullpen
				} else {
					m.bullpens = append(m.bullpens, pen.ID)
				}
				for k := range reps {
					drill := ""
					if k%4 == 0 {
						drill = "wall"
					}
					_, err := rep.Exec(newID(), s.first, pen.ID, p.ID, day, k+1, pitches[k%len(pitches)], 40+random.IntN(20), drill, k < 5)
					if err != nil {
						return err
					}
				}
				m.reps += reps
				if _, err := tx.touch(pen.ID); err != nil {
					return err
				}
			}
		}
		return nil
	})
	if err != nil {
		b.Fatal(err)
	}
	return m
}
