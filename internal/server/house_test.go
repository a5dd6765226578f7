package server

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/fstest"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/demo"
	"tenoff/internal/field"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/jobs"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// house is a server over a temporary data folder, with its jobs at work, reached
// over a real connection.
type house struct {
	*httptest.Server
	server *Server
	deps   Deps
	vars   map[string]string // $name in paths and bodies

	dir     string // the data folder
	uploads string // the folder of uploads under way

	searches atomic.Int64 // for reps, begun
	follow   jobs.Handler // does the searches for instants; the finder's unless a test says otherwise
}

func newHouse(t *testing.T) *house {
	t.Helper()
	return newHouseFor(t, Access{})
}

// newHouseFor is a house reached as access says.
func newHouseFor(t *testing.T, access Access) *house {
	t.Helper()
	return newHouseOver(t, t.TempDir(), access)
}

// newHouseOver is a house over what a data folder has.
func newHouseOver(t testing.TB, dir string, access Access) *house {
	t.Helper()
	st, err := store.OpenScratch(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	return newHouseOn(t, st, dir, access)
}

// newHouseOn is a house over these rows, which it closes, and the files in a data folder.
func newHouseOn(t testing.TB, st *store.Store, dir string, access Access) *house {
	t.Helper()
	blobs, err := blob.Open(filepath.Join(dir, blob.Folder))
	if err != nil {
		t.Fatal(err)
	}
	queue := jobs.New(st, jobs.Options{Workers: 4})
	in := intake.New(st, blobs, intake.Options{Reserve: 1})
	finder := propose.New(st, blobs, in.Measure, nil)
	joints := propose.NewJoints(st, nil, 1, nil)
	finder.Witness(joints)
	judging := judged.New(st, finder)
	clips := shelf.New(st, blobs, judging, in.Cutting)
	work, err := homework.New(filepath.Join(dir, homework.Folder), st, in, nil)
	if err == nil {
		err = work.Serve(t.Context())
	}
	if err != nil {
		t.Fatal(err)
	}
	queue.Handle(intake.OpenKind, 1, in.OpenFilm)
	queue.Handle(intake.Kind, 1, in.ReadFilm)
	queue.Handle(shelf.Kind, 0, clips.Render)
	fence := field.New(st, nil)
	queue.Handle(field.Kind, 1, fence.Find)
	h := &house{vars: map[string]string{}, dir: dir, uploads: filepath.Join(dir, homework.Folder), deps: Deps{
		Version: "test", Log: slog.New(hits), Store: st, Blobs: blobs, Jobs: queue, Intake: in, Judged: judging, Shelf: clips, Proposer: finder, Joints: joints, Field: fence, Homework: work, Access: access,
		Page: Page{Built: true, Files: fstest.MapFS{"index.html": {Data: []byte("<!doctype html>")}}},
	}}
	queue.Handle(propose.RepsKind, 1, func(ctx context.Context, job store.Job, progress func(float64)) error {
		h.searches.Add(1)
		return finder.FindReps(ctx, job, progress)
	})
	h.follow = finder.FindInstants
	queue.Handle(propose.InstantsKind, 1, func(ctx context.Context, job store.Job, progress func(float64)) error {
		return h.follow(ctx, job, progress)
	})
	h.server = New(h.deps)
	h.server.heartbeat = 20 * time.Millisecond
	h.Server = httptest.NewServer(h.server)
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 4)
	go func() { ended <- queue.Run(ctx) }()
	go func() { ended <- st.Tend(ctx, slog.New(slog.DiscardHandler)) }()
	go func() { ended <- finder.FollowChanges(ctx) }()
	go func() { ended <- fence.FollowChanges(ctx) }()
	t.Cleanup(func() {
		h.server.Close()
		h.Server.Close()
		stop()
		if err := errors.Join(<-ended, <-ended, <-ended, <-ended, st.Close(), blobs.Close()); err != nil {
			t.Error(err)
		}
	})
	return h
}

// fill puts the house's variables in place of $name.
func (h *house) fill(s string) string {
	return os.Expand(s, func(name string) string {
		if v, ok := h.vars[name]; ok {
			return v
		}
		return "$" + name
	})
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	body   string
}

// ask sends one request; header holds names and values in turn.
func (h *house) ask(t testing.TB, method, path string, body io.Reader, header ...string) answer {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), method, h.URL+h.fill(path), body)
	if err != nil {
		t.Fatal(err)
	}
	if strings.HasPrefix(path, "/api/slip") && h.vars["token"] != "" {
		req.Header.Set(slipHeader, h.vars["token"])
	}
	if strings.HasPrefix(path, "/api/field") && h.vars["field"] != "" {
		req.Header.Set(fieldHeader, h.vars["field"])
	}
	if path == "/api/share" && h.vars["shareToken"] != "" {
		req.Header.Set(shareHeader, h.vars["shareToken"])
	}
	if h.vars["cookie"] != "" {
		req.Header.Set("Cookie", h.vars["cookie"])
	}
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	req.Host = h.vars["host"] // "": as it is reached
	res, err := h.Client().Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	got, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer{res.StatusCode, res.Header, string(got)}
}

// send sends a JSON body, "" for none.
func (h *house) send(t *testing.T, method, path, body string) answer {
	t.Helper()
	if body == "" {
		return h.ask(t, method, path, nil)
	}
	return h.ask(t, method, path, strings.NewReader(h.fill(body)), "Content-Type", "application/json")
}

// keep stores a field of a JSON answer as a variable.
func (h *house) keep(t *testing.T, name, pointer string, a answer) {
	t.Helper()
	v, err := at(a.body, pointer)
	if err != nil {
		t.Fatalf("%v in %s", err, a.body)
	}
	if n, ok := v.(float64); ok {
		h.vars[name] = strconv.FormatFloat(n, 'f', -1, 64) // a moment in microseconds is sent back whole
		return
	}
	h.vars[name] = fmt.Sprint(v)
}

// upload sends a file and keeps its film's ID as $film.
func (h *house) upload(t *testing.T, path, name string) answer {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	a := h.ask(t, http.MethodPut, "/api/bullpens/$pen/films?name="+name, f)
	if a.status == http.StatusCreated || a.status == http.StatusOK {
		h.keep(t, "film", "film.id", a)
	}
	return a
}

// until asks for a JSON answer again at every change until good says so.
func (h *house) until(t *testing.T, path string, good func(body string) bool) answer {
	t.Helper()
	changes, stop := h.deps.Store.Watch()
	defer stop()
	for {
		if a := h.ask(t, http.MethodGet, path, nil); good(a.body) {
			return a
		}
		select {
		case <-changes:
		case <-t.Context().Done():
			t.Fatalf("%s never came to it", path)
		}
	}
}

// pen begins a bullpen and keeps its ID as $pen.
func (h *house) pen(t *testing.T) {
	t.Helper()
	h.keep(t, "pen", "id", h.send(t, http.MethodPost, "/api/bullpens", `{"pitcherLabel":"Wren"}`))
}

// filmed begins a bullpen with the drawn film, read.
func filmed(t *testing.T) *house {
	t.Helper()
	h := newHouse(t)
	h.pen(t)
	if a := h.upload(t, drawn.path, "wren.mp4"); a.status != http.StatusCreated {
		t.Fatalf("upload: %d %s", a.status, a.body)
	}
	h.until(t, "/api/films/$film", func(body string) bool { return strings.Contains(body, `"state":"ready"`) })
	return h
}

// drawn is a film of two fastballs and a change-up, drawn once for all tests.
var drawn struct {
	path  string
	truth demo.Truth
}

// hits notes which routes were asked for.
var hits = &hitLog{routes: map[string]bool{}}

// hitLog is a slog.Handler that reads the server's own request lines.
type hitLog struct {
	mu     sync.Mutex
	routes map[string]bool
}

func (l *hitLog) Enabled(context.Context, slog.Level) bool { return true }
func (l *hitLog) WithAttrs([]slog.Attr) slog.Handler       { return l }
func (l *hitLog) WithGroup(string) slog.Handler            { return l }

func (l *hitLog) Handle(_ context.Context, r slog.Record) error {
	if r.Message != "request" {
		return nil
	}
	var method, route string
	r.Attrs(func(a slog.Attr) bool {
		switch a.Key {
		case "method":
			method = a.Value.String()
		case "route":
			route = a.Value.String()
		}
		return true
	})
	l.mu.Lock()
	defer l.mu.Unlock()
	l.routes[method+" "+route] = true
	return nil
}

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(run(m))
}

func run(m *testing.M) int {
	dir, err := os.MkdirTemp("", "server-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	drawn.path = filepath.Join(dir, "drawn.mp4")
	drawn.truth, err = demo.Write(context.Background(), demo.Options{
		Seed: 11, Width: 320, Height: 180, Pace: demo.FPS(30, 1), Rest: 4.6, Steady: true, Lead: 1.5, Tail: 1.2,
		Reps: demo.Series(2, 1, demo.Same, 1), PlainStage: true,
	}, drawn.path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	code := m.Run()
	if code == 0 && flag.Lookup("test.run").Value.String() == "" && flag.Lookup("test.skip").Value.String() == "" {
		if left := unasked(); len(left) > 0 {
			fmt.Fprintln(os.Stderr, "operations of the document that no test asks for:", left)
			return 1
		}
	}
	return code
}

// unasked lists the document's operations that no test asked for.
func unasked() []string {
	var left []string
	for path, item := range New(Deps{}).Document().Paths {
		for method, o := range operations(item) {
			if !hits.routes[method+" "+ginPath(path)] {
				left = append(left, o.OperationID)
			}
		}
	}
	return left
}
