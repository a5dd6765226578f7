//go:build unix

package main

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"errors"
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
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/aws/aws-sdk-go-v2/aws"
	"github.com/aws/aws-sdk-go-v2/service/s3"
	"github.com/jackc/pgx/v5"

	"tenoff/internal/backup"
	"tenoff/internal/blob"
	"tenoff/internal/blob/s3server"
	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/jobs"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// How much is killed. The suite's own run is short.
var (
	kills   = flag.Int("kills", 2, "so many times each kind of process is killed")
	within  = flag.Duration("within", time.Hour, "but none later than this")
	stops   = flag.Int("stops", 1, "so many times a process is stopped, and goes on later")
	frozen  = flag.Duration("frozen", 2*time.Second, "for so long")
	webs    = flag.Int("webs", 2, "web nodes")
	works   = flag.Int("works", 2, "work nodes")
	every   = flag.Duration("pause", 4*time.Second, "between two films, and between two clips; twenty reps are logged meanwhile, by each of three")
	seed    = flag.Uint64("seed", 1, "of what is killed when")
	storage = flag.Bool("storage", false, "the films lie in an object storage, which `go run ./cmd/dev storage` builds, and which is killed too")
)

// siege is an academy's nodes under attack, and what was acknowledged to those who work with
// it.
type siege struct {
	*academy
	rows  *store.Store
	s3    *s3server.Server // nil: the films lie in a folder
	pen   string
	work  string // the bullpen of a homework that films are sent for
	nodes []*post

	mu      sync.Mutex
	answers map[int]int       // by status
	faults  []string          // answers that must never be
	reps    map[string]string // acknowledged: key, ID
	values  map[string]float64
	films   map[string]string // acknowledged: ID, SHA-256 of what was sent
	sent    []string          // SHA-256 of homework films that were acknowledged
	clips   map[string]bool
	words   string         // acknowledged last
	trying  string         // sent after it, and not answered
	waited  time.Duration  // the longest that a job waited after its lease had run out
	again   int            // uploads that the object storage lost, begun anew
	exposed int            // how often a job can have been taken from a node, by all that was done
	retried map[string]int // jobs whose nodes were killed so often that somebody had to ask again: ID, how often
}

// post is where a node stands: another takes its place when it is killed.
type post struct {
	role   role
	dir    string // its own, where the films lie in an object storage
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
	args := f.argsIn(p.dir, "serve", "--role", string(p.role), "--leave", "200ms")
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
	res, text, ok := f.do(req)
	return ok && res.StatusCode/100 == 2 && (out == nil || json.Unmarshal(text, out) == nil)
}

// do sends a request and counts its answer; ok is false where none came whole.
func (f *siege) do(req *http.Request) (res *http.Response, text []byte, ok bool) {
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return nil, nil, false // it was killed, or is not there again yet
	}
	defer res.Body.Close()
	text, err = io.ReadAll(res.Body)
	f.mu.Lock()
	defer f.mu.Unlock()
	f.answers[res.StatusCode]++
	said := err != nil || req.Method == http.MethodHead || bytes.Contains(text, []byte(`"detail"`))
	if res.StatusCode >= 500 && (res.StatusCode != http.StatusServiceUnavailable || !said) {
		f.faults = append(f.faults, fmt.Sprintf("%s %s: %d %s\n%s", req.Method, req.URL.Path, res.StatusCode, text, f.about(req, res)))
	}
	return res, text, err == nil
}

// about is what the node that answered a request has logged of it.
func (f *siege) about(req *http.Request, res *http.Response) (lines string) {
	for _, p := range f.nodes[:*webs] {
		if p.address() != req.URL.Host {
			continue
		}
		for line := range strings.Lines(p.node().log()) {
			if strings.Contains(line, "errand="+res.Header.Get("X-Request-Id")) {
				lines += line
			}
		}
	}
	return lines
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
		time.Sleep(*every / 20) // nobody throws ten thousand pitches in one bullpen
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
		time.Sleep(*every) // a film takes some seconds to be read
	}
}

// The pieces that a phone sends a homework film in, and what makes the film several of them
// long: bytes.
const (
	piece = 3 << 20
	tail  = 8 << 20
)

// patches sends homework films as a far student's phone does: piece by piece, and where one
// was lost on from where the bytes that arrived end, by whichever node answers.
func (f *siege) patches(ctx context.Context, token string, film []byte) {
	for i := 0; ctx.Err() == nil; i++ {
		mine := append(bytes.Clone(film), box(fmt.Sprintf("homework %d%*s", i, tail, ""))...)
		at := f.begins(ctx, token, i, len(mine))
		if at == "" {
			return
		}
		offset := 0
		for try := i; offset < len(mine); try++ {
			if at == "" {
				offset, at = 0, f.begins(f.t.Context(), token, try, len(mine))
			}
			part := mine[offset:min(offset+piece, len(mine))]
			res, ok := f.tus(try, token, http.MethodPatch, at, &slow{part}, int64(len(part)), "Upload-Offset", fmt.Sprint(offset), "Content-Type", "application/offset+octet-stream")
			if !ok || res.StatusCode != http.StatusNoContent {
				time.Sleep(100 * time.Millisecond)
				res, ok = f.tus(try+1, token, http.MethodHead, at, nil, 0)
			}
			if ok && res.StatusCode == http.StatusNotFound && f.s3 != nil { // it died while it put the parts together
				f.mu.Lock()
				f.again++
				f.mu.Unlock()
				at = ""
				continue
			}
			if !ok || res.StatusCode/100 != 2 {
				continue
			}
			if _, err := fmt.Sscan(res.Header.Get("Upload-Offset"), &offset); err != nil {
				f.t.Errorf("an upload goes on from %q", res.Header.Get("Upload-Offset"))
				return
			}
		}
		f.mu.Lock()
		f.sent = append(f.sent, sumOf(mine))
		f.mu.Unlock()
		time.Sleep(*every)
	}
}

// begins begins an upload of so many bytes and returns its address, "" if there is no time.
func (f *siege) begins(ctx context.Context, token string, try, size int) string {
	for ; ctx.Err() == nil; try++ {
		res, ok := f.tus(try, token, http.MethodPost, "/api/slip/uploads", nil, 0, "Upload-Length", fmt.Sprint(size),
			"Upload-Metadata", "filename "+base64.StdEncoding.EncodeToString([]byte("wall.mp4")))
		if ok && res.StatusCode == http.StatusCreated {
			return res.Header.Get("Location")
		}
		time.Sleep(100 * time.Millisecond)
	}
	return ""
}

// tus sends a request of the tus protocol to one of the web nodes. What was begun in a folder
// is never gone.
func (f *siege) tus(pick int, token, method, at string, body io.Reader, size int64, header ...string) (*http.Response, bool) {
	ctx, cancel := context.WithTimeout(f.t.Context(), *frozen+time.Minute)
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, method, "http://"+f.nodes[pick%*webs].address()+at, body)
	if err != nil {
		f.t.Error(err)
		return nil, false
	}
	req.ContentLength = size
	req.Header.Set("Tus-Resumable", "1.0.0")
	req.Header.Set("Slip", token)
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, text, ok := f.do(req)
	if ok && res.StatusCode == http.StatusNotFound && f.s3 == nil {
		f.mu.Lock()
		f.faults = append(f.faults, fmt.Sprintf("%s %s: %d %s", method, at, res.StatusCode, text))
		f.mu.Unlock()
	}
	return res, ok
}

// slow is a body that comes along a phone's line.
type slow struct{ left []byte }

func (s *slow) Read(p []byte) (int, error) {
	if len(s.left) == 0 {
		return 0, io.EOF
	}
	time.Sleep(20 * time.Millisecond)
	n := copy(p, s.left[:min(len(s.left), 64<<10)])
	s.left = s.left[n:]
	return n, nil
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
		time.Sleep(*every)
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
		if over > f.waited+10*time.Second && over > 15*time.Second { // longer than it should, see README
			open, err := f.rows.Jobs(ctx, "")
			f.t.Logf("a job waits for %.0f s since its lease is over: %+v, %v", over.Seconds(), open, err)
		}
		f.waited = max(f.waited, over)
		f.mu.Unlock()
	}
}

// Nodes of both kinds are killed in the midst of writing, taking films in, reading and
// rendering; others are stopped for a while and go on; the database is ended at once. All that
// was acknowledged is there afterwards, byte by byte, nothing is left over after one sweep,
// and nobody was told that something was our fault.
func TestKilled(t *testing.T) {
	f := &siege{academy: newAcademy(t), answers: map[int]int{}, reps: map[string]string{}, values: map[string]float64{}, films: map[string]string{}, clips: map[string]bool{}, retried: map[string]int{}}
	ctx := t.Context()
	var err error
	if f.rows, err = store.OpenPostgres(ctx, f.address); err != nil {
		t.Fatal(err)
	}
	defer f.rows.Close()
	if *storage {
		f.s3 = f.rentServer()
	}
	if err := f.rows.SaveSetting(ctx, timeZone, "America/Chicago"); err != nil {
		t.Fatal(err)
	}
	for i := range *webs + *works {
		p := &post{role: roleWeb, listen: "127.0.0.1:0", dir: f.data}
		if f.s3 != nil {
			p.dir = t.TempDir()
		}
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
	var token string
	token, _, f.work = f.nodes[0].node().handOut()
	f.nodes[0].node().shows(taken.Film.ID)

	load, enough := context.WithCancel(ctx)
	defer enough()
	var busy sync.WaitGroup
	for who := range 3 {
		busy.Go(func() { f.logs(load, who) })
	}
	busy.Go(func() { f.sends(load, film) })
	busy.Go(func() { f.patches(load, token, film) })
	busy.Go(func() { f.renders(load, taken.Film.ID) })
	busy.Go(func() { f.replies(load, homework) })
	watching, blind := context.WithCancel(ctx)
	var eyes sync.WaitGroup
	eyes.Go(func() { f.watches(watching) })

	done := f.attack(rand.New(rand.NewPCG(*seed, 0)))
	enough()
	busy.Wait()
	f.settles()
	blind()
	eyes.Wait()
	f.isShown(homework)
	f.isThere()
	f.isBounded(done)
	f.isClean()
	f.mu.Lock()
	defer f.mu.Unlock()
	t.Logf("acknowledged: %d reps, %d films, %d homework films, %d clips; answers by status: %v; the longest that a job waited once its lease had run out: %.1f s; asked for again: %d jobs; uploads begun anew: %d",
		len(f.reps), len(f.films), len(f.sent), len(f.clips), f.answers, f.waited.Seconds(), len(f.retried), f.again)
	if len(f.reps) == 0 || len(f.films) == 0 || len(f.sent) == 0 || len(f.clips) == 0 {
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

// What is done in a siege.
const (
	killWeb     = "web"
	killWork    = "work"
	killRows    = "database"
	killStorage = "storage"
	stopAny     = "stopped for a while"
)

// attack kills, stops and ends what runs, in an order that chance makes, and returns how often
// it did what.
func (f *siege) attack(chance *rand.Rand) (done map[string]int) {
	type act struct {
		what string
		do   func()
	}
	var acts []act
	kill := func(p *post) {
		p.node().kill()
		f.man(p)
	}
	// open is how many jobs can have been begun while the storage was away, and put back to
	// wait: nodes take one after the other meanwhile.
	open := func() int {
		list, err := f.rows.Jobs(f.t.Context(), "")
		if err != nil {
			f.t.Error(err)
		}
		return len(list)
	}
	// away ends a server that all nodes need and brings it back within a second.
	away := func(crash func() error, restart func(context.Context) error) {
		if err := crash(); err != nil {
			f.t.Error(err)
		}
		time.Sleep(time.Duration(chance.IntN(1000)) * time.Millisecond)
		if err := restart(f.t.Context()); err != nil {
			f.t.Fatal(err)
		}
	}
	for range *kills {
		acts = append(acts,
			act{killWeb, func() { kill(f.nodes[chance.IntN(*webs)]) }},
			act{killWork, func() {
				kill(f.nodes[*webs+chance.IntN(*works)])
				f.exposed += workers
			}},
			act{killRows, func() {
				away(f.server.Crash, f.server.Restart)
				f.exposed += workers * *works
			}})
		if f.s3 != nil {
			acts = append(acts, act{killStorage, func() {
				away(f.s3.Crash, f.s3.Restart)
				f.exposed += open()
			}})
		}
	}
	for range *stops {
		acts = append(acts, act{stopAny, func() {
			n := chance.IntN(len(f.nodes) + 1)
			process := f.nodes[n%len(f.nodes)].node().cmd.Process
			if f.s3 != nil && n == len(f.nodes) {
				process = f.s3.Process()
			}
			for _, s := range []syscall.Signal{syscall.SIGSTOP, syscall.SIGCONT} {
				if err := process.Signal(s); err != nil {
					f.t.Fatal(err)
				}
				if s == syscall.SIGSTOP {
					time.Sleep(*frozen)
				}
			}
			switch {
			case n == len(f.nodes) && f.s3 != nil:
				f.exposed += open() * (1 + int(*frozen/jobs.Away))
			case n >= *webs && n < len(f.nodes):
				f.exposed += workers
			}
		}})
	}
	chance.Shuffle(len(acts), func(i, j int) { acts[i], acts[j] = acts[j], acts[i] })
	began := time.Now()
	done = map[string]int{}
	for _, act := range acts {
		time.Sleep(time.Duration(500+chance.IntN(2500)) * time.Millisecond)
		if time.Since(began) > *within {
			break
		}
		act.do()
		done[act.what]++
	}
	f.t.Logf("killed within %.0f s: %v", time.Since(began).Seconds(), done)
	return done
}

// isBounded looks how often work was begun. A job that nobody disturbs is begun once, and each
// thing that was done to the nodes that work, or to what they need, takes it from one of them
// at most once: it is somebody else's then, or waits. Only a storage that stands still may take
// it again whenever it was put back to wait. Somebody has to ask for it again no more often
// than all of its attempts could be taken; and an upload is begun anew only where the storage
// was killed, since one is sent at a time. The bound of each grows with the siege; all of them
// together were begun again no more often than jobs can have run where something was done,
// which attack adds up.
func (f *siege) isBounded(done map[string]int) {
	f.t.Helper()
	ctx := f.t.Context()
	c, err := pgx.Connect(ctx, f.address)
	if err != nil {
		f.t.Fatal(err)
	}
	defer c.Close(context.WithoutCancel(ctx))
	disturbed := done[killWork] + done[killRows] + done[killStorage] + done[stopAny]*(1+int(*frozen/jobs.Away))
	type begun struct {
		ID, Kind string
		Claims   int
	}
	rows, err := c.Query(ctx, `SELECT id, kind, claim FROM jobs`)
	if err != nil {
		f.t.Fatal(err)
	}
	all, err := pgx.CollectRows(rows, pgx.RowToStructByPos[begun])
	if err != nil {
		f.t.Fatal(err)
	}
	more, most, atMost := 0, begun{}, f.exposed
	for _, n := range f.retried {
		atMost += n
	}
	for _, b := range all {
		more += max(0, b.Claims-1)
		if b.Claims > most.Claims {
			most = b
		}
		n := f.retried[b.ID] // before each it was claimed once to be given up
		if b.Claims > 1+disturbed+n {
			f.t.Errorf("%s was claimed %d times, disturbed at most %d times and asked for again %d times", b.Kind, b.Claims, disturbed, n)
		}
		if n > disturbed/jobs.Attempts {
			f.t.Errorf("%s was asked for again %d times, disturbed at most %d times, and has %d attempts", b.Kind, n, disturbed, jobs.Attempts)
		}
	}
	if more > atMost {
		f.t.Errorf("jobs were begun again %d times, and at most %d could have been", more, atMost)
	}
	if f.again > done[killStorage] {
		f.t.Errorf("%d uploads were begun anew, and the storage killed %d times", f.again, done[killStorage])
	}
	f.t.Logf("of %d jobs, disturbed at most %d times each, %d were begun again, of at most %d; the one that was most (%s) %d times in all", len(all), disturbed, more, atMost, most.Kind, most.Claims)
}

// settles waits until the queue is empty, and every film that came whole was taken in. A job
// whose nodes were killed again and again is asked for once more, as an instructor would.
func (f *siege) settles() {
	f.t.Helper()
	ctx := f.t.Context()
	began, told := time.Now(), time.Now()
	for ; ; time.Sleep(200 * time.Millisecond) {
		queues, err := f.rows.Queues(ctx)
		open, jobsErr := f.rows.Jobs(ctx, "")
		for _, j := range open {
			if j.State != store.JobFailed {
				continue
			}
			if !strings.Contains(j.Problem, "in the middle of this") {
				f.t.Errorf("%s failed: %s", j.Kind, j.Problem)
			}
			if !f.send(0, http.MethodPost, "/api/jobs/"+j.ID+"/retry", struct{}{}, nil) {
				f.t.Fatalf("%s can't be tried again", j.Kind)
			}
			f.retried[j.ID]++
		}
		films, filmsErr := f.rows.Films(ctx, f.work)
		switch {
		case errors.Join(err, jobsErr, filmsErr) == nil && len(queues)+len(open) == 0 && len(films) >= len(f.sent):
			f.t.Logf("the queue is empty %.0f s after the last kill", time.Since(began).Seconds())
			return
		case time.Since(began) > 15*time.Minute:
			f.t.Fatalf("the queue is never empty: %+v, %d of %d homework films, %v", queues, len(films), len(f.sent), errors.Join(err, jobsErr, filmsErr))
		case time.Since(told) > 30*time.Second:
			told = time.Now()
			f.t.Logf("after %.0f s there wait: %+v, %d of %d homework films", time.Since(began).Seconds(), queues, len(films), len(f.sent))
		}
	}
}

// isShown compares what was acknowledged with what every web node shows.
func (f *siege) isShown(homework string) {
	f.t.Helper()
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
}

// open opens what the nodes work on beside them.
func (f *siege) open() *Program {
	f.t.Helper()
	flags := flag.NewFlagSet("", flag.ContinueOnError)
	at := placeFlags(flags)
	if err := flags.Parse(f.args("serve")[1:]); err != nil {
		f.t.Fatal(err)
	}
	p, err := NewProgramOn(f.t.Context(), *at, slog.New(slog.DiscardHandler))
	if err != nil {
		f.t.Fatal(err)
	}
	f.t.Cleanup(func() {
		if err := p.Close(); err != nil {
			f.t.Error(err)
		}
	})
	return p
}

// isThere compares what was acknowledged with rows and files.
func (f *siege) isThere() {
	f.t.Helper()
	ctx := f.t.Context()
	p := f.open()
	is := func(film store.Film, sum string) {
		if film.State != bullpen.FilmReady || film.SHA256 != sum {
			f.t.Errorf("film %s: %s, %s", film.ID, film.State, film.Refusal)
		} else if got, err := p.blobs.Sum(ctx, film.Made.Original); err != nil || got != sum {
			f.t.Errorf("film %s is not what was sent, %v", film.ID, err)
		}
	}
	for id, sum := range f.films {
		film, err := f.rows.Film(ctx, id)
		if err != nil {
			f.t.Errorf("film %s: %v", id, err)
			continue
		}
		is(film, sum)
	}
	films, err := f.rows.Films(ctx, f.work)
	if err != nil {
		f.t.Fatal(err)
	}
	for i, sum := range f.sent {
		at := slices.IndexFunc(films, func(o store.Film) bool { return o.SHA256 == sum })
		if at < 0 {
			f.t.Errorf("homework film %d was acknowledged and is not there", i)
			continue
		}
		is(films[at], sum)
	}
	for id := range f.clips {
		if c, err := f.rows.Clip(ctx, id); err != nil || c.Made == "" { // whether its files are there, see isClean
			f.t.Errorf("clip %s: %+v, %v", id, c, err)
		}
	}
}

// isClean lets time pass, until nobody goes on with what was begun, sweeps once and looks for
// what is left over.
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
	const passes = 8 * 24 * time.Hour
	var err error
	if f.s3 != nil {
		err = f.s3.Age(passes)
	} else {
		err = filepath.WalkDir(f.data, func(path string, _ os.DirEntry, err error) error {
			if err == nil {
				long := time.Now().Add(-passes)
				err = os.Chtimes(path, long, long)
			}
			return err
		})
	}
	if err == nil {
		err = f.server.Do(ctx, "academy", fmt.Sprintf(`UPDATE files SET created = created - %d`, passes.Microseconds()))
	}
	if err != nil {
		f.t.Fatal(err)
	}
	p := f.open()
	if err := errors.Join(p.intake.SweepOld(ctx), p.homework.Sweep(ctx)); err != nil {
		f.t.Error(err)
	}
	left, err := backup.FindOrphans(ctx, p.store, p.blobs)
	if err != nil || len(left.Files)+len(left.Rows) > 0 {
		f.t.Errorf("after a sweep: %+v, %v", left, err)
	}
	if making := f.making(p); len(making) > 0 {
		f.t.Errorf("after a sweep there are still in the making: %v", making)
	}
}

// making lists what is on its way to be a file: nobody's, now.
func (f *siege) making(p *Program) (names []string) {
	f.t.Helper()
	if f.s3 == nil {
		for _, folder := range []string{filepath.Join(blob.Folder, "arriving"), homework.Folder} {
			left, err := os.ReadDir(filepath.Join(f.data, folder))
			if err != nil {
				f.t.Error(err)
			}
			for _, l := range left {
				names = append(names, l.Name())
			}
		}
		return names
	}
	client, bucket, prefix, err := p.blobs.Objects()
	if err != nil {
		f.t.Fatal(err)
	}
	objects, err := client.ListObjectsV2(f.t.Context(), &s3.ListObjectsV2Input{Bucket: &bucket, Prefix: aws.String(prefix + homework.Folder + "/")})
	if err != nil {
		f.t.Fatal(err)
	}
	for _, o := range objects.Contents {
		names = append(names, *o.Key)
	}
	parts, err := client.ListMultipartUploads(f.t.Context(), &s3.ListMultipartUploadsInput{Bucket: &bucket, Prefix: &prefix})
	if err != nil {
		f.t.Fatal(err)
	}
	for _, u := range parts.Uploads {
		names = append(names, *u.Key+" in parts")
	}
	return names
}
