package server

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/intake"
	"tenoff/internal/judged"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// BenchmarkSheet asks for a bullpen of 5,000 reps and for a pitcher of 300 bullpens
// of 60, over HTTP and in full, each time after a rep of it has changed. It prints
// p50-ms and p95-ms of the answers, their size, and what the very first one took.
// `tenoff serve` collects garbage as GOGC=400 does; so should this.
func BenchmarkSheet(b *testing.B) {
	dir := b.TempDir()
	st, err := store.OpenScratch(b.Context(), dir)
	if err != nil {
		b.Fatal(err)
	}
	defer st.Close()
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		b.Fatal(err)
	}
	defer blobs.Close()
	level, _ := bullpen.LevelOf(bullpen.UsualLevel)
	her := bullpen.NewPitcher("Wren", level)
	_, long, err := st.AddBullpenFor(b.Context(), her, her.Begin("2026-05-02"), true)
	if err != nil {
		b.Fatal(err)
	}
	throwMany(b, st, long.ID, 5000)
	another, pen, err := st.AddBullpenFor(b.Context(), bullpen.NewPitcher("Juno", level), her.Begin("2026-05-02"), true)
	if err != nil {
		b.Fatal(err)
	}
	for i := range 300 {
		if i > 0 {
			day := time.Date(2025, 1, 1+i, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
			if pen, err = st.AddBullpen(b.Context(), another.Begin(day), true); err != nil {
				b.Fatal(err)
			}
		}
		throwMany(b, st, pen.ID, 60)
	}
	in := intake.New(st, blobs, intake.Options{})
	judging := judged.New(st, nil)
	s := New(Deps{Store: st, Blobs: blobs, Intake: in, Judged: judging, Shelf: shelf.New(st, blobs, judging, in.Cutting)})
	for name, ask := range map[string]struct{ path, changed string }{
		"bullpen of 5000 reps":    {"/api/bullpens/" + long.ID, long.ID},
		"pitcher of 300 bullpens": {"/api/pitchers/" + another.ID, pen.ID},
		"her trust":               {"/api/pitchers/" + another.ID + "/trust", pen.ID},
	} {
		b.Run(name, func(b *testing.B) {
			var took []float64
			for b.Loop() {
				b.StopTimer()
				throwMany(b, st, ask.changed, 1)
				b.StartTimer()
				r := httptest.NewRequest(http.MethodGet, ask.path, nil)
				r.Host = "localhost"
				w := &sink{}
				from := time.Now()
				s.ServeHTTP(w, r)
				took = append(took, float64(time.Since(from).Microseconds())/1000)
				if w.code != http.StatusOK {
					b.Fatal(w.code)
				}
				b.ReportMetric(float64(w.bytes), "B/answer")
			}
			b.ReportMetric(took[0], "first-ms")
			slices.Sort(took)
			b.ReportMetric(took[len(took)/2], "p50-ms")
			b.ReportMetric(took[len(took)*95/100], "p95-ms")
		})
	}
}

// sink counts an answer without keeping it, as a connection would.
type sink struct {
	header http.Header
	code   int
	bytes  int
}

func (s *sink) Header() http.Header {
	if s.header == nil {
		s.header = http.Header{}
	}
	return s.header
}

func (s *sink) WriteHeader(code int) { s.code = code }

func (s *sink) Write(p []byte) (int, error) {
	if s.code == 0 {
		s.code = http.StatusOK
	}
	s.bytes += len(p)
	return len(p), nil
}

// throwMany logs n reps of a bullpen, fastballs and change-ups in turn.
func throwMany(b *testing.B, st *store.Store, penID string, n int) {
	b.Helper()
	for i := range n {
		r := bullpen.Rep{BullpenID: penID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1,
			Reading: &bullpen.Reading{Value: float64(54 + i%3), Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}}
		if i%2 == 1 {
			r.Pitch, r.Reading.Value = bullpen.ChangeUp, float64(43+i%5)
		}
		if _, _, err := st.AddRep(b.Context(), r); err != nil {
			b.Fatal(err)
		}
	}
}
