package vitals

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tenoff/internal/store"
)

// files are there unless they are lost.
type files struct{ lost *error }

func (f files) Ready(context.Context) error { return *f.lost }

func (files) Free() (int64, error) { return 12345, nil }

// ask asks a handler and returns the status and the text.
func ask(h http.Handler, path, token string) (int, string) {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	if token != "" {
		r.Header.Set("Authorization", "Bearer "+token)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	text, _ := io.ReadAll(w.Result().Body)
	return w.Code, string(text)
}

// A program lives that answers; it is ready while the database and the files are there and
// it was not told to stop. Figures are told to who has the token.
func TestVitals(t *testing.T) {
	ctx := t.Context()
	s, err := store.OpenScratch(ctx, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	var lost error
	v := New(s, files{&lost}, []string{"read"}, "1.2.3")
	v.found.keeps = 0
	h := v.Handler("a long enough token", slog.New(slog.DiscardHandler))
	for _, c := range []struct {
		what, path string
		set        func()
		want       int
	}{
		{"alive", "/live", func() {}, 200},
		{"ready", "/ready", func() {}, 200},
		{"without files", "/ready", func() { lost = errors.New("not mounted") }, 503},
		{"without files it lives", "/live", func() {}, 200},
		{"files are back", "/ready", func() { lost = nil }, 200},
		{"about to stop", "/ready", v.Leave, 503},
		{"about to stop it lives", "/live", func() {}, 200},
		{"nothing else", "/", func() {}, 404},
		{"no pages", "/api/home", func() {}, 404},
		{"figures without a token", "/metrics", func() {}, 401},
	} {
		c.set()
		if got, text := ask(h, c.path, ""); got != c.want {
			t.Errorf("%s: %d %s", c.what, got, text)
		}
	}
	if got, _ := ask(h, "/metrics", "another token entirely"); got != 401 {
		t.Errorf("another token: %d", got)
	}
	v.leaving.Store(false)
	if _, err := s.AddJob(ctx, store.NewJob{Kind: "read", Subject: "the film of Kit"}); err != nil {
		t.Fatal(err)
	}
	v.Answered("GET", "/api/films/:id", 200, time.Second)
	v.Answered("GET", "", 404, time.Second)
	v.Answered("ANYTHING", "", 404, time.Second)
	v.Ended("read", store.JobDone, 3*time.Second, 7*time.Second)
	_, figures := ask(h, "/metrics", "a long enough token")
	for _, want := range []string{
		`tenoff_answers_total{class="2xx",method="GET",route="/api/films/:id"} 1`, `tenoff_answers_total{class="4xx",method="GET",route="page"} 1`,
		`tenoff_answers_total{class="4xx",method="other",route="page"} 1`,
		`tenoff_queue_jobs{kind="read",state="queued"} 1`, `tenoff_queue_oldest_seconds{kind="read",state="queued"} `,
		`tenoff_jobs_total{kind="read",state="done"} 1`, `tenoff_job_processor_seconds_total{kind="read"} 7`,
		`tenoff_film_processor_seconds_sum 7`, `tenoff_film_processor_seconds_count 1`,
		`tenoff_files_bytes 0`, `tenoff_files_free_bytes 12345`, `tenoff_database_waits_total{pool="write"} 0`, `tenoff_ready 1`, `tenoff_info{version="1.2.3"} 1`,
	} {
		if !strings.Contains(figures, want) {
			t.Errorf("no figure %s in\n%s", want, figures)
		}
	}
	if strings.Contains(figures, "Kit") {
		t.Error("a figure names somebody")
	}
}

// hanging are files that never answer, as a folder that is gone from the network.
type hanging struct {
	asked atomic.Int32
	until chan struct{}
}

func (h *hanging) Ready(context.Context) error {
	h.asked.Add(1)
	<-h.until
	return nil
}

func (*hanging) Free() (int64, error) { return 1, nil }

// However many ask whether a program is ready, the files are asked once, and files that do not
// answer are not asked again before they do.
func TestManyAskWhetherItIsReady(t *testing.T) {
	s, err := store.OpenScratch(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	gone := &hanging{until: make(chan struct{})}
	v := New(s, gone, nil, "1.2.3")
	v.found.keeps = time.Hour
	h := v.Probes(http.NotFoundHandler())
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			if got, text := ask(h, "/ready", ""); got != 503 || !strings.Contains(text, "files") {
				t.Errorf("files that are silent: %d %s", got, text)
			}
		})
	}
	all.Wait()
	v.found.keeps = 0
	if v.Ready() == "" {
		t.Error("files that are silent are called there")
	}
	if n := gone.asked.Load(); n != 1 {
		t.Errorf("silent files were asked %d times", n)
	}
	close(gone.until)
	for v.Ready() != "" { // the answer may be on its way
		runtime.Gosched()
	}
	v.found.keeps = time.Hour
	before := gone.asked.Load()
	for range 20 {
		if got, text := ask(h, "/ready", ""); got != 200 {
			t.Errorf("files that are back: %d %s", got, text)
		}
	}
	if n := gone.asked.Load(); n != before {
		t.Errorf("files were asked %d times by 20 who asked at once", n-before)
	}
}
