package store

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
	"tenoff/internal/store/million"
)

// BenchmarkMillion prints how long the queries behind the pages take with a million
// reps stored: p50-ms and p95-ms, and the mean time of the processor, which other
// programs at work disturb less.
func BenchmarkMillion(b *testing.B) {
	s := fresh(b)
	dir := s.dir
	if err := s.Close(); err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	m := million.Fill(b, dir, Database)
	s, err := Open(b.Context(), dir)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { s.Close() })
	b.Logf("%d reps seeded in %.0f s", m.Reps, time.Since(began).Seconds())
	ctx := context.Background()
	random := rand.New(rand.NewPCG(1, 2))
	bull := func() string { return m.Bullpens[random.IntN(len(m.Bullpens))] }
	who := func() string { return m.Pitchers[random.IntN(len(m.Pitchers))] }
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
		"ledger of 5000 reps":                    func() error { _, err := s.Reps(ctx, m.Long); return err },
		"filter: all, page by page":              page(RepFilter{}),
		"filter: pitch, page by page":            page(RepFilter{Pitch: bullpen.ChangeUp}),
		"filter: pitch nobody throws":            page(RepFilter{Pitch: bullpen.Screw}),
		"filter: pitch of one day":               page(RepFilter{Pitch: bullpen.ChangeUp, From: "2024-05-05", To: "2024-05-05"}),
		"filter: pitcher":                        func() error { _, _, err := s.FindReps(ctx, RepFilter{PitcherID: who()}, Page{Limit: 100}); return err },
		"filter: pitcher and pitch in one month": page(RepFilter{PitcherID: m.Many, Pitch: bullpen.ChangeUp, From: "2024-05-01", To: "2024-05-31"}),
		"pitchers":                               func() error { _, err := s.Pitchers(ctx); return err },
		"bullpens, first page":                   func() error { _, _, err := s.Bullpens(ctx, "", Page{Limit: 50}); return err },
		"pitcher of 300: bullpens":               func() error { _, _, err := s.Bullpens(ctx, m.Many, Page{Limit: 500}); return err },
		"pitcher of 300: load":                   func() error { _, err := s.ThrowDays(ctx, m.Many); return err },
		"pitcher of 300: 18000 throws":           func() error { _, err := s.PitcherThrows(ctx, m.Many); return err },
		"pitcher of 300: 18000 reps":             func() error { _, err := s.PitcherReps(ctx, m.Many); return err },
		"add a rep": func() error {
			_, _, err := s.AddRep(ctx, unmarked(bullpen.Bullpen{ID: bull()}, bullpen.Fastball, 50))
			return err
		},
	} {
		b.Run(name, func(b *testing.B) {
			var took []float64
			before := proc.Own()
			for b.Loop() {
				from := time.Now()
				if err := query(); err != nil {
					b.Fatal(err)
				}
				took = append(took, float64(time.Since(from).Microseconds())/1000)
			}
			b.ReportMetric(1000*(proc.Own()-before).Seconds()/float64(len(took)), "cpu-ms")
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2], "p50-ms")
			b.ReportMetric(took[len(took)*95/100], "p95-ms")
		})
	}
}
