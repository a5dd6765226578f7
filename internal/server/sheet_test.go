package server

import (
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"testing"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/intake"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// BenchmarkSheet asks for a bullpen of 5,000 reps, over HTTP and in full.
func BenchmarkSheet(b *testing.B) {
	dir := b.TempDir()
	st, err := store.Open(b.Context(), dir)
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
	her, pen, err := st.AddBullpenFor(b.Context(), bullpen.NewPitcher("Wren", level), bullpen.NewPitcher("Wren", level).Begin("2026-05-02"), true)
	if err != nil {
		b.Fatal(err)
	}
	throwMany(b, st, pen.ID, 5000)
	s := New(Deps{Store: st, Blobs: blobs, Shelf: shelf.New(st, blobs, intake.New(st, blobs, intake.Options{}).Cutting)})
	for name, path := range map[string]string{"bullpen": "/api/bullpens/" + pen.ID, "pitcher": "/api/pitchers/" + her.ID} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				r := httptest.NewRequest(http.MethodGet, path, nil)
				r.Host = "localhost"
				w := httptest.NewRecorder()
				s.ServeHTTP(w, r)
				if w.Code != http.StatusOK {
					b.Fatal(w.Code)
				}
				b.ReportMetric(float64(w.Body.Len()), "B/answer")
			}
		})
	}
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
