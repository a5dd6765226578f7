package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.uber.org/goleak"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/intake"
	"tenoff/internal/store"
)

// start runs a program on dir, serving on a free port, until the test ends.
func start(t *testing.T, dir string) (p *Program, url string) {
	t.Helper()
	p, err := NewProgram(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	l, err := listen(t.Context(), "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- p.Run(ctx, l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if err := p.Close(); err != nil {
			t.Error(err)
		}
	})
	return p, "http://" + l.Addr().String()
}

func get(t *testing.T, url string) []byte {
	t.Helper()
	req, err := http.NewRequestWithContext(t.Context(), http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d, %v", url, res.StatusCode, err)
	}
	return text
}

func TestPrintedDocumentIsTheServedOne(t *testing.T) {
	_, url := start(t, t.TempDir())
	code, printed, errs := call(t.Context(), "openapi")
	if code != exitOK {
		t.Fatal(errs)
	}
	var a, b any
	if err := json.Unmarshal([]byte(printed), &a); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(get(t, url+"/api/openapi.json"), &b); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(a, b); diff != "" {
		t.Error(diff)
	}
}

func TestOneProgramAtATime(t *testing.T) {
	dir := t.TempDir()
	_, url := start(t, dir)
	if code, _, errs := call(t.Context(), "serve", "--data", dir, "--listen", "127.0.0.1:0"); code != exitFailed || !strings.Contains(errs, "Another tenoff") {
		t.Errorf("a second server: %d %q", code, errs)
	}
	if err := os.Remove(filepath.Join(dir, lockName)); err != nil { // somebody took it for left over
		t.Fatal(err)
	}
	if code, _, errs := call(t.Context(), "serve", "--data", dir, "--listen", "127.0.0.1:0"); code != exitFailed || !strings.Contains(errs, "Another tenoff") {
		t.Errorf("a second server, without the lock's file: %d %q", code, errs)
	}
	if code, _, errs := call(t.Context(), "restore", "--data", dir, t.TempDir()); code != exitFailed || !strings.Contains(errs, "Another tenoff") {
		t.Errorf("a restore onto a folder in use: %d %q", code, errs)
	}
	if code, out, errs := call(t.Context(), "health", "--address", strings.TrimPrefix(url, "http://")); code != exitOK || !strings.Contains(out, "well") {
		t.Errorf("health: %d %q", code, errs)
	}
}

// A film is added beside a running program, saved, and brought back elsewhere.
func TestAddBackupRestore(t *testing.T) {
	path, truth := drawn.path, drawn.truth
	dir, copied, back := t.TempDir(), filepath.Join(t.TempDir(), "copy"), t.TempDir()
	p, _ := start(t, dir)
	code, out, errs := call(t.Context(), "add", "--data", dir, "--pitcher", "Wren", path)
	if code != exitOK {
		t.Fatalf("add beside a server: %d %s", code, errs)
	}
	id := strings.Fields(out)[1]
	films, err := p.store.Films(t.Context(), id)
	if err != nil || len(films) != 1 || films[0].State != bullpen.FilmReady || films[0].Clock.Frames() != truth.Clock.Frames() {
		t.Fatalf("added %+v, %v", films, err)
	}
	if code, out, _ := call(t.Context(), "add", "--data", dir, "--bullpen", id, path); code != exitOK || !strings.Contains(out, "already") {
		t.Errorf("the same film again: %d %s", code, out)
	}
	if code, out, errs := call(t.Context(), "backup", "--data", dir, copied); code != exitOK {
		t.Fatalf("backup: %d %s %s", code, out, errs)
	}
	if code, out, errs := call(t.Context(), "backup", "--data", dir, copied); code != exitOK || !strings.Contains(out, "were there already") {
		t.Errorf("backup onto a backup: %d %s %s", code, out, errs)
	}
	if code, out, errs := call(t.Context(), "restore", "--data", back, copied); code != exitOK {
		t.Fatalf("restore: %d %s %s", code, out, errs)
	}
	if code, out, errs := call(t.Context(), "doctor", "--data", back, "--json"); !strings.Contains(out, `"name":"files","ok":true`) || !strings.Contains(out, `"name":"stray files","ok":true`) {
		t.Errorf("doctor on what was restored: %d %s %s", code, out, errs)
	}
	// Without a server, add does the work itself; into a bullpen of the same pitcher.
	if code, out, errs := call(t.Context(), "add", "--data", back, "--pitcher", "Wren", path); code != exitOK || !strings.Contains(out, "frames") || strings.Contains(errs, "WARN") {
		t.Errorf("add without a server: %d %s %s", code, out, errs)
	}
	other, _ := start(t, back)
	pitchers, err := other.store.Pitchers(t.Context())
	if err != nil || len(pitchers) != 1 || pitchers[0].Bullpens != 2 {
		t.Errorf("restored: %+v, %v", pitchers, err)
	}
	letter := filepath.Join(t.TempDir(), "none.mp4")
	if code, _, errs := call(t.Context(), "add", "--data", back, "--bullpen", id, letter); code != exitFailed || !strings.Contains(errs, "can't be opened") {
		t.Errorf("a film that is not there: %d %s", code, errs)
	}
}

// The demo is made once, through the same doors as any bullpen; a second call
// leaves it as it is.
func TestDemo(t *testing.T) {
	p, _ := start(t, t.TempDir())
	_, made, _ := demo.Bullpen()
	s := scenario{
		pitcher: bullpen.NewPitcher("Wren", bullpen.Level{Key: "14U", DistanceFeet: 43, ExtensionFeet: 6, BallKind: "12 in"}),
		pen:     bullpen.Bullpen{Title: "Small", Gun: bullpen.BehindPitcher, Unit: bullpen.MPH, Step: 1, Note: made.Note},
		options: small(),
	}
	for range 2 {
		if err := p.makeDemo(t.Context(), streams{nil, io.Discard, io.Discard}, s, true); err != nil {
			t.Fatal(err)
		}
		cards, _, err := p.store.Bullpens(t.Context(), "", store.Page{Limit: 500})
		if err != nil || len(cards) != 1 {
			t.Fatalf("%d bullpens, %v", len(cards), err)
		}
		if c := cards[0]; c.Films != 1 || c.Reps != 3 || c.Readings != 3 || c.Clips != 4 {
			t.Errorf("the demo bullpen has %d films, %d reps, %d readings, %d clips", c.Films, c.Reps, c.Readings, c.Clips)
		}
		b, err := p.judged.Of(t.Context(), cards[0].ID)
		if err != nil {
			t.Fatal(err)
		}
		for i, r := range b.Reps {
			if n := b.Sheet.Reps[i]; n.Verdict == bullpen.Pending && r.Pitch != bullpen.Fastball {
				t.Errorf("rep %d has no verdict: %s", r.Order, n.Pending)
			}
		}
	}
}

func TestRunEndsWithoutLeavingAnythingBehind(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	dir := t.TempDir()
	p, err := NewProgram(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	l, err := listen(t.Context(), "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- p.Run(ctx, l) }()
	client := &http.Client{Transport: &http.Transport{}}
	res, err := client.Get("http://" + l.Addr().String() + "/api/events")
	if err != nil {
		t.Fatal(err)
	}
	stop() // while a page listens
	if err := <-ended; err != nil {
		t.Error(err)
	}
	res.Body.Close()
	client.CloseIdleConnections()
	if err := p.Close(); err != nil {
		t.Error(err)
	}
}

// Who is deleted just before the program stops is gone when it has.
func TestStoppingLeavesNothingOfHer(t *testing.T) {
	const name = "Zephyrine"
	dir := t.TempDir()
	p, err := NewProgram(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- p.Run(ctx, nil) }()
	her := bullpen.NewPitcher(name, bullpen.Level{Key: "14U", DistanceFeet: 43, ExtensionFeet: 6, BallKind: "12 in"})
	_, pen, err := p.store.AddBullpenFor(t.Context(), her, bullpen.Bullpen{Day: "2026-04-11"}, false)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := p.intake.RemovePitcher(t.Context(), pen.PitcherID, 0, func(intake.Removed) error { return nil }); err != nil {
		t.Fatal(err)
	}
	stop()
	if err := errors.Join(<-ended, p.Close()); err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(files) == 0 {
		t.Fatalf("files %v, %v", files, err)
	}
	for _, path := range files {
		if info, err := os.Stat(path); err != nil || info.IsDir() {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(data), name) || strings.HasSuffix(path, "-due") {
			t.Errorf("left in %s", filepath.Base(path))
		}
	}
}
