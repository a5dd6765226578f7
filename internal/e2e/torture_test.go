//go:build linux

package e2e

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

var (
	tortureLives = flag.Int("torture", 8, "TestTorture: how many times to kill the program")
	tortureSeed  = flag.Uint64("torture.seed", 1, "TestTorture: where chance begins")
	tortureOn    = flag.String("torture.on", "", "TestTorture: a folder on a small disk of its own, which is filled now and then")
)

// TestTorture kills a program that serves at random instants, while films arrive and
// are read, clips are rendered and reps are written, and before that, now and then,
// kills its ffmpegs or lets no write succeed for a while. A client beside it keeps
// count of everything that was acknowledged: after each life all of it is there, every
// film to the byte, and the doctor finds nothing. In the end every film is read and
// every clip rendered.
//
//	go test ./internal/e2e -run Torture -torture 200 -timeout 60m
func TestTorture(t *testing.T) {
	data := filepath.Join(t.TempDir(), "data")
	if *tortureOn != "" {
		data = filepath.Join(*tortureOn, "data")
	}
	path, truth := draw(t, 1, 1)
	film, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	v := &victim{
		data: data, film: film, release: truth.Reps[0].Release.Frame,
		reps: map[string]*maybe{}, films: map[string]*maybe{}, clips: map[string]string{}, faults: map[string]int{},
	}
	chance := rand.New(rand.NewPCG(*tortureSeed, 0))
	for life := range *tortureLives {
		p := serve(t, data)
		if life%10 == 0 {
			p.must(t, http.MethodPost, "/api/bullpens", wire.NewBullpen{PitcherLabel: "Wren"}, &v.pen)
			v.pens = append(v.pens, v.pen.ID)
			first := v.unique(chance)
			v.ready = p.send(t, v.pen.ID, v.file(t, first))
			v.films[v.ready.ID] = &maybe{v.pen.ID, []string{digest(first)}}
		}
		v.live(t, p, rand.New(rand.NewPCG(*tortureSeed, uint64(life)+1)))
		p = serve(t, data)
		v.check(t, p, v.pens[len(v.pens)-1:])
		if t.Failed() {
			t.Fatalf("in life %d of seed %d", life, *tortureSeed)
		}
		p.stop(t)
	}
	p := serve(t, data)
	v.settle(t, p)
	v.check(t, p, v.pens)
	t.Logf("%d kills, %v; acknowledged and there: %d of %d writes to reps, %d films, %d clips; not acknowledged: %d",
		*tortureLives, v.faults, v.said, v.said, len(v.films), len(v.clips), v.unsaid)
}

// victim is the program under torture, with what its client knows.
type victim struct {
	data    string
	film    []byte // with two pitches on it
	release int    // of the first
	pens    []string
	pen     wire.Bullpen // the one that is written to
	ready   wire.Film    // of it, to cut from

	mu     sync.Mutex
	reps   map[string]*maybe
	films  map[string]*maybe
	clips  map[string]string // the bullpen of each
	faults map[string]int
	said   int // writes to reps that were acknowledged
	unsaid int // requests that were refused or cut off
}

// maybe is what the client knows of a row: the text it has to have, or may have since
// a request for it was not answered; "" is that it is gone.
type maybe struct {
	pen string
	is  []string
}

func (m *maybe) allows(text string) bool {
	for _, is := range m.is {
		if is == text {
			return true
		}
	}
	return false
}

// file returns the path of a film.
func (v *victim) file(t *testing.T, film []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "first.mp4")
	if err := os.WriteFile(path, film, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// digest is a film's SHA-256 in hex.
func digest(film []byte) string {
	sum := sha256.Sum256(film)
	return hex.EncodeToString(sum[:])
}

// unique returns a film that was never sent: a box that nobody reads makes it differ
// (ISO/IEC 14496-12, 8.1.2).
func (v *victim) unique(chance *rand.Rand) []byte {
	return append(bytes.Clone(v.film), fmt.Sprintf("\x00\x00\x00\x18free%016x", chance.Uint64())...)
}

// live has everything done at once until the program is killed.
func (v *victim) live(t *testing.T, p *program, chance *rand.Rand) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var work sync.WaitGroup
	for i, do := range []func(context.Context, *testing.T, *program, *rand.Rand) bool{v.write, v.write, v.upload, v.render} {
		own := rand.New(rand.NewPCG(chance.Uint64(), uint64(i)))
		work.Go(func() {
			for do(ctx, t, p, own) && ctx.Err() == nil {
			}
		})
	}
	time.Sleep(time.Duration(chance.IntN(1500)) * time.Millisecond)
	fault := "no other fault"
	switch chance.IntN(5) {
	case 0:
		fault = "ffmpeg killed"
		for _, child := range children(p.cmd.Process.Pid) {
			_ = syscall.Kill(child, syscall.SIGKILL) // it may have ended just now
		}
		time.Sleep(time.Duration(chance.IntN(500)) * time.Millisecond)
	case 1:
		fault = "writes failed"
		v.noWrites(t, p, int64(chance.IntN(2<<20)), time.Duration(chance.IntN(600))*time.Millisecond)
	case 2:
		if *tortureOn != "" {
			fault = "disk full"
			v.fill(t, time.Duration(chance.IntN(800))*time.Millisecond)
		}
	}
	v.faults[fault]++
	p.kill(t)
	stop()
	work.Wait()
}

// noWrites lets no file of the program and its children grow beyond so many bytes
// for a while.
func (v *victim) noWrites(t *testing.T, p *program, most int64, during time.Duration) {
	t.Helper()
	var was unix.Rlimit
	if err := unix.Prlimit(p.cmd.Process.Pid, unix.RLIMIT_FSIZE, nil, &was); err != nil {
		t.Fatal(err)
	}
	less := was
	less.Cur = uint64(most)
	if err := unix.Prlimit(p.cmd.Process.Pid, unix.RLIMIT_FSIZE, &less, nil); err != nil {
		t.Fatal(err)
	}
	time.Sleep(during)
	if err := unix.Prlimit(p.cmd.Process.Pid, unix.RLIMIT_FSIZE, &was, nil); err != nil {
		t.Fatal(err)
	}
}

// fill leaves no room on the disk for a while.
func (v *victim) fill(t *testing.T, during time.Duration) {
	t.Helper()
	path := filepath.Join(*tortureOn, "ballast")
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	for err == nil {
		_, err = f.Write(make([]byte, 64<<10))
	}
	time.Sleep(during)
	if err := f.Close(); err != nil {
		t.Log(err)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
}

// children lists the processes that a process started and that run.
func children(of int) (ids []int) {
	list, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", of)) // the pattern is good
	for _, path := range list {
		text, err := os.ReadFile(path)
		if err != nil {
			continue // its thread ended
		}
		for _, field := range strings.Fields(string(text)) {
			var id int
			if _, err := fmt.Sscan(field, &id); err == nil {
				ids = append(ids, id)
			}
		}
	}
	return ids
}

// tell sends a request and reports whether it was acknowledged; alive is false when
// there is nobody left to ask.
func (v *victim) tell(ctx context.Context, p *program, method, path string, body, out any) (done, alive bool) {
	status, text, err := p.try(ctx, method, path, body)
	done = err == nil && status < 300 && (out == nil || json.Unmarshal(text, out) == nil)
	v.mu.Lock()
	defer v.mu.Unlock()
	if !done {
		v.unsaid++
	}
	return done, err == nil
}

// write logs a rep, and perhaps changes it or takes it out.
func (v *victim) write(ctx context.Context, _ *testing.T, p *program, chance *rand.Rand) (alive bool) {
	var made wire.RepChange
	note := fmt.Sprintf("%016x", chance.Uint64())
	done, alive := v.tell(ctx, p, http.MethodPost, "/api/bullpens/"+v.pen.ID+"/reps", wire.NewRep{Note: note}, &made)
	if !done {
		time.Sleep(20 * time.Millisecond)
		return alive
	}
	m := &maybe{v.pen.ID, []string{note}}
	v.mu.Lock()
	v.reps[made.Rep.ID] = m
	v.said++
	v.mu.Unlock()
	act := chance.IntN(4)
	if act > 1 {
		return true
	}
	next, method, path, body := "", http.MethodDelete, "/api/reps/"+made.Rep.ID, any(nil)
	if act == 0 {
		next = fmt.Sprintf("%016x", chance.Uint64())
		method, body = http.MethodPatch, map[string]any{"version": made.Rep.Version, "note": next}
	}
	m.is = append(m.is, next)
	if done, alive = v.tell(ctx, p, method, path, body, nil); done {
		m.is = []string{next}
		v.mu.Lock()
		v.said++
		v.mu.Unlock()
	}
	return alive
}

// upload sends a film, slowly, and takes out one that has been here for a while.
func (v *victim) upload(ctx context.Context, t *testing.T, p *program, chance *rand.Rand) (alive bool) {
	film := v.unique(chance)
	var sent wire.UploadResult
	path := fmt.Sprintf("/api/bullpens/%s/films?name=%x.mp4", v.pen.ID, chance.Uint32())
	done, alive := v.tell(ctx, p, http.MethodPut, path, io.Reader(&slow{film, chance}), &sent)
	if done {
		v.mu.Lock()
		v.films[sent.Film.ID] = &maybe{v.pen.ID, []string{digest(film)}}
		v.mu.Unlock()
	}
	var here []string
	v.mu.Lock()
	for id, m := range v.films {
		if m.pen == v.pen.ID && m.is[0] != "" && id != sent.Film.ID && id != v.ready.ID {
			here = append(here, id)
		}
	}
	v.mu.Unlock()
	if len(here) > 1 && alive {
		m := v.films[here[0]]
		m.is = append(m.is, "")
		if done, alive = v.tell(ctx, p, http.MethodDelete, "/api/films/"+here[0], nil, nil); done {
			m.is = []string{""}
		}
	}
	time.Sleep(time.Duration(chance.IntN(700)) * time.Millisecond)
	return alive
}

// slow is a film on a slow connection.
type slow struct {
	rest   []byte
	chance *rand.Rand
}

func (s *slow) Read(p []byte) (int, error) {
	if len(s.rest) == 0 {
		return 0, io.EOF
	}
	time.Sleep(time.Duration(s.chance.IntN(20)) * time.Millisecond)
	n := copy(p[:min(len(p), 16<<10)], s.rest)
	s.rest = s.rest[n:]
	return n, nil
}

// render has a clip made of a rep on the film that was read first.
func (v *victim) render(ctx context.Context, _ *testing.T, p *program, chance *rand.Rand) (alive bool) {
	var made wire.RepChange
	note := fmt.Sprintf("%016x", chance.Uint64())
	done, alive := v.tell(ctx, p, http.MethodPost, "/api/bullpens/"+v.pen.ID+"/reps", wire.NewRep{Note: note, FilmID: v.ready.ID, Release: &v.release}, &made)
	if done {
		v.mu.Lock()
		v.reps[made.Rep.ID] = &maybe{v.pen.ID, []string{note}}
		v.said++
		v.mu.Unlock()
		var clips struct {
			Clips []wire.Clip `json:"clips"`
		}
		ask := wire.NewClips{RepIDs: []string{made.Rep.ID}, Options: wire.ClipOptions{Before: 0.2, After: 0.2}}
		if done, alive = v.tell(ctx, p, http.MethodPost, "/api/bullpens/"+v.pen.ID+"/clips", ask, &clips); done {
			v.mu.Lock()
			for _, c := range clips.Clips {
				v.clips[c.ID] = v.pen.ID
			}
			v.mu.Unlock()
		}
	}
	time.Sleep(time.Duration(300+chance.IntN(900)) * time.Millisecond)
	return alive
}

// check looks for everything that was acknowledged, in some bullpens, and has the
// doctor look at all of it.
func (v *victim) check(t *testing.T, p *program, pens []string) {
	t.Helper()
	for _, pen := range pens {
		var sheet wire.Sheet
		p.must(t, http.MethodGet, "/api/bullpens/"+pen, nil, &sheet)
		reps, films, clips := map[string]string{}, map[string]string{}, map[string]bool{}
		for _, r := range sheet.Reps {
			reps[r.ID] = r.Note
		}
		for _, f := range sheet.Films {
			films[f.ID] = v.digest(t, f.ID)
		}
		for _, c := range sheet.Clips {
			clips[c.ID] = true
		}
		for id, m := range v.reps {
			if m.pen == pen && !m.allows(reps[id]) {
				t.Errorf("rep %s is %q, acknowledged was %q", id, reps[id], m.is)
			}
		}
		for id, m := range v.films {
			if m.pen != pen {
				continue
			}
			if !m.allows(films[id]) {
				t.Errorf("film %s is %q, acknowledged was %q", id, films[id], m.is)
			}
			m.is = []string{films[id]} // that is how it stays
		}
		for id, of := range v.clips {
			if of == pen && !clips[id] {
				t.Errorf("clip %s is lost", id)
			}
		}
	}
	var doctor wire.Doctor
	p.must(t, http.MethodGet, "/api/doctor", nil, &doctor)
	for _, c := range doctor.Checks {
		if !c.OK && c.Name != "room on the disk" {
			t.Errorf("the doctor says of %s: %s", c.Name, c.Found)
		}
	}
}

// digest returns a film's SHA-256 as the disk gives it, "" for none.
func (v *victim) digest(t *testing.T, id string) string {
	t.Helper()
	f, err := os.Open(filepath.Join(v.data, "files", "films", id, "original"))
	if os.IsNotExist(err) {
		return ""
	}
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		t.Fatal(err)
	}
	return hex.EncodeToString(sum.Sum(nil))
}

// settle waits until every film is read and every clip rendered; what was given up
// after too many kills is tried again.
func (v *victim) settle(t *testing.T, p *program) {
	t.Helper()
	for _, pen := range v.pens {
		var sheet wire.Sheet
		p.until(t, "/api/bullpens/"+pen, &sheet, func() bool {
			for _, j := range sheet.Jobs {
				if j.State == "failed" {
					p.must(t, http.MethodPost, "/api/jobs/"+j.ID+"/retry", nil, nil)
				}
			}
			return len(sheet.Jobs) == 0
		})
		for _, f := range sheet.Films {
			if f.State != bullpen.FilmReady {
				t.Errorf("film %s is %s: %s %s", f.ID, f.State, f.Refusal, f.Problem)
			}
		}
		for _, c := range sheet.Clips {
			if c.State != "ready" {
				t.Errorf("clip %s is %s: %s", c.ID, c.State, c.Problem)
			}
		}
	}
}
