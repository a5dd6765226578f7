//go:build unix

package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tenoff/internal/backup"
	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// How much is killed. The suite's own run is short.
var (
	kills  = flag.Int("kills", 2, "so many times each kind of process is killed")
	stops  = flag.Int("stops", 1, "so many times a process is stopped, and goes on later")
	frozen = flag.Duration("frozen", 2*time.Second, "for so long")
	webs   = flag.Int("webs", 2, "web nodes")
	works  = flag.Int("works", 2, "work nodes")
	seed   = flag.Uint64("seed", 1, "of what is killed when")
)

// siege is an academy's nodes under attack, and what was acknowledged to those who work with
// it.
type siege struct {
	*academy
	rows  *store.Store
	pen   string
	nodes []*post

	mu      sync.Mutex
	answers map[int]int       // by status
	faults  []string          // answers that must never be
	reps    map[string]string // acknowledged: key, ID
	values  map[string]float64
	films   map[string]string // acknowledged: ID, SHA-256 of what was sent
	clips   map[string]bool
	words   string        // acknowledged last
	trying  string        // sent after it, and not answered
	waited  time.Duration // the longest that a job waited after its lease had run out
}

// post is where a node stands: another takes its place when it is killed.
type post struct {
	role   role
	mu     sync.Mutex
	listen string // where it is reached, and the next one too
	at     *machine
}

func (p *post) node() *machine {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.at
}

// man starts a node at a post, which it must not have one at, and waits until it works.
func (f *siege) man(p *post) {
	f.t.Helper()
	m := &machine{t: f.t}
	args := f.args("serve", "--role", string(p.role), "--leave", "200ms")
	if p.role.answers() {
		args = append(args, "--listen", p.address())
	}
	m.cmd = exec.Command(os.Args[0], args...)
	m.cmd.Env = append(os.Environ(), asProgram+"=1")
	m.cmd.Stderr = m
	out, err := m.cmd.StdoutPipe()
	if err != nil {
		f.t.Fatal(err)
	}
	if err := m.cmd.Start(); err != nil {
		f.t.Fatal(err)
	}
	f.t.Cleanup(m.kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		f.t.Errorf("a %s node does not begin: %s", p.role, m.log())
	}
	if _, rest, is := strings.Cut(line, "tenoff is at "); is {
		m.url, _, _ = strings.Cut(rest, " ")
		u, err := url.Parse(m.url)
		if err != nil {
			f.t.Fatal(err)
		}
		p.mu.Lock()
		p.listen = u.Host
		p.mu.Unlock()
	}
	p.mu.Lock()
	p.at = m
	p.mu.Unlock()
}

func (p *post) address() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.listen
}

// ask sends a request to one of the web nodes and counts its answer; ok is false where it was
// not acknowledged.
func (f *siege) ask(pick int, method, path, kind string, body []byte, out any) (ok bool) {
	p := f.nodes[pick%*webs]
	ctx, cancel := context.WithTimeout(f.t.Context(), *frozen+time.Minute)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, method, "http://"+p.address()+path, bytes.NewReader(body))
	if err != nil {
		f.t.Error(err)
		return false
	}
	req.Header.Set("Content-Type", kind)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return false // it was killed, or is not there again yet
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	f.mu.Lock()
	f.answers[res.StatusCode]++
	if res.StatusCode >= 500 && res.StatusCode != http.StatusServiceUnavailable || res.StatusCode == http.StatusServiceUnavailable && !bytes.Contains(text, []byte(`"detail"`)) {
		f.faults = append(f.faults, fmt.Sprintf("%s %s: %d %s", method, path, res.StatusCode, text))
	}
	f.mu.Unlock()
	return err == nil && res.StatusCode/100 == 2 && (out == nil || json.Unmarshal(text, out) == nil)
}

func (f *siege) send(pick int, method, path string, body, out any) bool {
	text, err := json.Marshal(body)
	if err != nil {
		f.t.Error(err)
	}
	return f.ask(pick, method, path, "application/json", text, out)
}

// logs writes reps, each sent again under its own key until it is acknowledged.
func (f *siege) logs(ctx context.Context, who int) {
	for i := 0; ctx.Err() == nil; i++ {
		key, value := fmt.Sprintf("%d/%d", who, i), 40+float64(i%20)
		body := map[string]any{"key": key, "reading": map[string]any{"value": value, "unit": "mph", "step": 1, "gun": "behind catcher"}}
		var rep wire.RepChange
		for try := i + who; !f.send(try, http.MethodPost, "/api/bullpens/"+f.pen+"/reps", body, &rep); try++ {
			if ctx.Err() != nil {
				return
			}
			time.Sleep(50 * time.Millisecond)
		}
		f.mu.Lock()
		f.reps[key], f.values[rep.Rep.ID] = rep.Rep.ID, value
		f.mu.Unlock()
		time.Sleep(100 * time.Millisecond)
	}
}

// sends sends films that differ in what stands behind their end.
func (f *siege) sends(ctx context.Context, film []byte) {
	for i := 0; ctx.Err() == nil; i++ {
		mine := append(bytes.Clone(film), box(fmt.Sprint("tail of film ", i))...)
		sum := sha256.Sum256(mine)
		var taken wire.UploadResult
		for try := i; !f.ask(try, http.MethodPut, fmt.Sprintf("/api/bullpens/%s/films?name=film-%d.mp4", f.pen, i), "video/mp4", mine, &taken); try++ {
			if ctx.Err() != nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		f.mu.Lock()
		f.films[taken.Film.ID] = hex.EncodeToString(sum[:])
		f.mu.Unlock()
		time.Sleep(4 * time.Second) // a film takes some seconds to be read
	}
}

// box is a part of an MP4 that players pass over (ISO/IEC 14496-12, 8.1.2, 'free').
func box(text string) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(8+len(text)))
	return append(append(out, "free"...), text...)
}

// renders marks reps on a film and asks for a clip of each.
func (f *siege) renders(ctx context.Context, filmID string) {
	for i := 0; ctx.Err() == nil; i++ {
		var rep wire.RepChange
		body := map[string]any{"key": fmt.Sprint("marked/", i), "filmId": filmID, "release": drawn.truth.Reps[i%3].Release.Frame, "pitch": "fb"}
		for try := i; !f.send(try, http.MethodPost, "/api/bullpens/"+f.pen+"/reps", body, &rep); try++ {
			if ctx.Err() != nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		var made wire.ClipList
		for try := i; !f.send(try, http.MethodPost, "/api/bullpens/"+f.pen+"/clips", map[string]any{"repIds": []string{rep.Rep.ID}}, &made); try++ {
			if ctx.Err() != nil {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		f.mu.Lock()
		for _, c := range made.Clips {
			f.clips[c.ID] = true
		}
		f.mu.Unlock()
		time.Sleep(3 * time.Second)
	}
}

// replies writes an answer's words over and over.
func (f *siege) replies(ctx context.Context, homework string) {
	for i := 0; ctx.Err() == nil; i++ {
		var h wire.Homework
		if !f.send(i, http.MethodGet, "/api/homework/"+homework, nil, &h) {
			time.Sleep(100 * time.Millisecond)
			continue
		}
		words := fmt.Sprint("Word ", i)
		f.mu.Lock()
		f.trying = words
		f.mu.Unlock()
		if f.send(i, http.MethodPut, "/api/homework/"+homework+"/reply", map[string]any{"version": h.Version, "words": words}, nil) {
			f.mu.Lock()
			f.words, f.trying = words, ""
			f.mu.Unlock()
		}
		time.Sleep(200 * time.Millisecond)
	}
}

// watches notes for how long a job waits whose worker is gone, by the database's clock.
func (f *siege) watches(ctx context.Context) {
	for ctx.Err() == nil {
		time.Sleep(250 * time.Millisecond)
		var over time.Duration
		if longest, err := f.rows.Overdue(ctx); err == nil {
			over = longest
		}
		f.mu.Lock()
		f.waited = max(f.waited, over)
		f.mu.Unlock()
	}
}

// Nodes of both kinds are killed in the midst of writing, taking films in, reading and
// rendering; others are stopped for a while and go on; the database is ended at once. All that
// was acknowledged is there afterwards, byte by byte, nothing is left over after one sweep,
// and nobody was told that something was our fault.
func TestKilled(t *testing.T) {
	f := &siege{academy: newAcademy(t), answers: map[int]int{}, reps: map[string]string{}, values: map[string]float64{}, films: map[string]string{}, clips: map[string]bool{}}
	ctx := t.Context()
	var err error
	if f.rows, err = store.OpenPostgres(ctx, f.address); err != nil {
		t.Fatal(err)
	}
	defer f.rows.Close()
	if err := f.rows.SaveSetting(ctx, timeZone, "America/Chicago"); err != nil {
		t.Fatal(err)
	}
	for i := range *webs + *works {
		p := &post{role: roleWeb, listen: "127.0.0.1:0"}
		if i >= *webs {
			p.role = roleWork
		}
		f.nodes = append(f.nodes, p)
		f.man(p)
	}
	if t.Failed() {
		t.FailNow() // without all its nodes there is nothing to besiege
	}
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	must := func(ok bool, what string) {
		t.Helper()
		if !ok {
			t.Fatalf("%s: %v\n%s", what, f.faults, f.nodes[0].node().log())
		}
	}
	var pen wire.Bullpen
	must(f.send(0, http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": "Kit"}, &pen), "a bullpen")
	f.pen = pen.ID
	var taken wire.UploadResult
	must(f.ask(0, http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=wren.mp4", "video/mp4", film, &taken), "a film")
	homework := f.homework(pen.PitcherID)
	f.nodes[0].node().shows(taken.Film.ID)

	load, enough := context.WithCancel(ctx)
	defer enough()
	var busy sync.WaitGroup
	for who := range 3 {
		busy.Go(func() { f.logs(load, who) })
	}
	busy.Go(func() { f.sends(load, film) })
	busy.Go(func() { f.renders(load, taken.Film.ID) })
	busy.Go(func() { f.replies(load, homework) })
	watching, blind := context.WithCancel(ctx)
	var eyes sync.WaitGroup
	eyes.Go(func() { f.watches(watching) })

	f.attack(rand.New(rand.NewPCG(*seed, 0)))
	enough()
	busy.Wait()
	f.settles()
	blind()
	eyes.Wait()
	f.isThere(homework)
	f.isClean()
	f.mu.Lock()
	defer f.mu.Unlock()
	t.Logf("acknowledged: %d reps, %d films, %d clips; answers by status: %v; the longest that a job waited once its lease had run out: %.1f s",
		len(f.reps), len(f.films), len(f.clips), f.answers, f.waited.Seconds())
	if len(f.reps) == 0 || len(f.films) == 0 || len(f.clips) == 0 {
		t.Error("nothing was acknowledged of one kind, and so nothing of it was looked for")
	}
	for _, said := range f.faults {
		t.Error(said)
	}
}

// homework hands one out, to be answered.
func (f *siege) homework(pitcherID string) string {
	h, err := f.rows.AddHomework(f.t.Context(), bullpen.Homework{}, bullpen.Bullpen{PitcherID: pitcherID, Day: "2026-04-12"})
	if err != nil {
		f.t.Fatal(err)
	}
	return h.ID
}

// attack kills, stops and ends what runs, in an order that chance makes.
func (f *siege) attack(chance *rand.Rand) {
	var acts []func()
	kill := func(p *post) func() {
		return func() {
			p.node().kill()
			f.man(p)
		}
	}
	for range *kills {
		acts = append(acts,
			func() { kill(f.nodes[chance.IntN(*webs)])() },
			func() { kill(f.nodes[*webs+chance.IntN(*works)])() },
			func() {
				if err := f.server.Crash(); err != nil {
					f.t.Error(err)
				}
				time.Sleep(time.Duration(chance.IntN(1000)) * time.Millisecond)
				if err := f.server.Restart(f.t.Context()); err != nil {
					f.t.Fatal(err)
				}
			})
	}
	for range *stops {
		acts = append(acts, func() {
			m := f.nodes[chance.IntN(len(f.nodes))].node()
			m.signal(syscall.SIGSTOP)
			time.Sleep(*frozen)
			m.signal(syscall.SIGCONT)
		})
	}
	chance.Shuffle(len(acts), func(i, j int) { acts[i], acts[j] = acts[j], acts[i] })
	for _, act := range acts {
		time.Sleep(time.Duration(500+chance.IntN(2500)) * time.Millisecond)
		act()
	}
}

// settles waits until the queue is empty.
func (f *siege) settles() {
	f.t.Helper()
	began := time.Now()
	for {
		queues, err := f.rows.Queues(f.t.Context())
		if err == nil && len(queues) == 0 {
			f.t.Logf("the queue is empty %.0f s after the last kill", time.Since(began).Seconds())
			return
		}
		if time.Since(began) > 10*time.Minute {
			f.t.Fatalf("the queue is never empty: %+v, %v", queues, err)
		}
		time.Sleep(200 * time.Millisecond)
	}
}

// isThere compares what was acknowledged with what every web node shows and the files hold.
func (f *siege) isThere(homework string) {
	f.t.Helper()
	ctx := f.t.Context()
	for pick := range *webs {
		var sheet wire.Sheet
		if !f.send(pick, http.MethodGet, "/api/bullpens/"+f.pen, nil, &sheet) {
			f.t.Fatal("a node does not show the bullpen", f.nodes[pick].node().log())
		}
		shown := map[string]*wire.Rep{}
		for i := range sheet.Reps {
			shown[sheet.Reps[i].ID] = &sheet.Reps[i]
		}
		for key, id := range f.reps {
			if r := shown[id]; r == nil || r.Reading == nil || r.Reading.Value != f.values[id] {
				f.t.Errorf("node %d: rep %s was acknowledged and is %+v", pick, key, r)
			}
		}
		var h wire.Homework
		if !f.send(pick, http.MethodGet, "/api/homework/"+homework, nil, &h) {
			f.t.Fatal("a node does not show the homework", f.nodes[pick].node().log())
		}
		if words := h.Draft.Words; words != f.words && words != f.trying {
			f.t.Errorf("node %d: the answer says %q, acknowledged was %q", pick, words, f.words)
		}
	}
	for id, sum := range f.films {
		film, err := f.rows.Film(ctx, id)
		if err != nil || film.State != bullpen.FilmReady || film.SHA256 != sum {
			f.t.Errorf("film %s: %s, %s, %v", id, film.State, film.Refusal, err)
			continue
		}
		bytes, err := os.ReadFile(filepath.Join(f.data, "files", film.Made.Original))
		if got := sha256.Sum256(bytes); err != nil || hex.EncodeToString(got[:]) != sum {
			f.t.Errorf("film %s is not what was sent, %v", id, err)
		}
	}
	for id := range f.clips {
		if c, err := f.rows.Clip(ctx, id); err != nil || c.Made == "" {
			f.t.Errorf("clip %s: %+v, %v", id, c, err)
		}
	}
}

// isClean lets a day pass, sweeps once and looks for what is left over.
func (f *siege) isClean() {
	f.t.Helper()
	ctx := f.t.Context()
	for _, p := range f.nodes {
		p.node().signal(syscall.SIGTERM)
	}
	for _, p := range f.nodes {
		if err := p.node().cmd.Wait(); err != nil {
			f.t.Errorf("a %s node that was told to stop: %v\n%s", p.role, err, p.node().log())
		}
	}
	long := time.Now().Add(-48 * time.Hour)
	err := filepath.WalkDir(filepath.Join(f.data, "files"), func(path string, _ os.DirEntry, err error) error {
		if err == nil {
			err = os.Chtimes(path, long, long)
		}
		return err
	})
	if err != nil {
		f.t.Fatal(err)
	}
	if err := f.server.Do(ctx, "academy", `UPDATE files SET created = created - 172800000000`); err != nil {
		f.t.Fatal(err)
	}
	flags := flag.NewFlagSet("", flag.ContinueOnError)
	at := placeFlags(flags)
	if err := flags.Parse([]string{"--store", f.address, "--data", f.data}); err != nil {
		f.t.Fatal(err)
	}
	p, err := NewProgramOn(ctx, *at, slog.New(slog.DiscardHandler))
	if err != nil {
		f.t.Fatal(err)
	}
	defer p.Close()
	if err := p.intake.SweepOld(ctx); err != nil {
		f.t.Error(err)
	}
	left, err := backup.FindOrphans(ctx, p.store, p.blobs)
	if err != nil || len(left.Files)+len(left.Rows) > 0 {
		f.t.Errorf("after a sweep: %+v, %v", left, err)
	}
	making, err := os.ReadDir(filepath.Join(f.data, "files", "arriving"))
	if err != nil || len(making) > 0 {
		f.t.Errorf("after a sweep %d files are still in the making, %v", len(making), err)
	}
}
