//go:build unix

package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/intake"
	"tenoff/internal/postgres/cluster"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// long is how many times as much the machines of an academy are made to do.
var long = flag.Int("academy", 1, "so many times as many readings, and as many listeners cut")

// machine is one of an academy's, as a process.
type machine struct {
	t    *testing.T
	cmd  *exec.Cmd
	url  string
	mu   sync.Mutex
	said bytes.Buffer
}

func (m *machine) Write(b []byte) (int, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.said.Write(b)
}

func (m *machine) log() string {
	m.mu.Lock()
	defer m.mu.Unlock()
	return m.said.String()
}

// academy is a database and a folder that machines share.
type academy struct {
	t             *testing.T
	server        *cluster.Cluster
	address, data string
	files         string // its bucket, "" for the folder
	ahead         string // by how much the next machine's clock is, where clocks can differ
}

func newAcademy(t *testing.T) *academy {
	t.Helper()
	a := &academy{t: t, data: t.TempDir()}
	var err error
	if a.server, err = cluster.Start(t.Context()); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := a.server.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := a.server.Do(t.Context(), "postgres", `CREATE DATABASE academy`); err != nil {
		t.Fatal(err)
	}
	a.address = a.server.Address("academy")
	return a
}

func (a *academy) args(more ...string) []string {
	if a.files != "" { // each machine has a folder of its own
		return a.argsIn(a.t.TempDir(), more...)
	}
	return a.argsIn(a.data, more...)
}

// argsIn is args for a machine with a folder that is said.
func (a *academy) argsIn(data string, more ...string) []string {
	args := []string{more[0], "--store", a.address}
	if a.files != "" {
		args = append(args, "--files", a.files)
	}
	return append(append(args, "--data", data), more[1:]...)
}

// begin starts one more machine, in a time zone of its own, and waits until it serves.
func (a *academy) begin(zone string, more ...string) *machine {
	a.t.Helper()
	m, line := a.start(zone, append([]string{"--listen", "127.0.0.1:0"}, more...)...)
	_, rest, is := strings.Cut(line, "tenoff is at ")
	if m.url, _, _ = strings.Cut(rest, " "); !is {
		a.t.Fatalf("it says %q\n%s", line, m.log())
	}
	return m
}

// work starts one more machine that only works.
func (a *academy) work() *machine {
	a.t.Helper()
	m, _ := a.start("UTC", "--role", string(roleWork))
	return m
}

// start starts one more machine and returns the first line that it says.
func (a *academy) start(zone string, more ...string) (*machine, string) {
	a.t.Helper()
	m := &machine{t: a.t}
	m.cmd = exec.Command(os.Args[0], append(a.args("serve"), more...)...)
	m.cmd.Env = append(os.Environ(), asProgram+"=1", "TZ="+zone, "CLOCK_AHEAD="+a.ahead)
	m.cmd.Stderr = m
	out, err := m.cmd.StdoutPipe()
	if err != nil {
		a.t.Fatal(err)
	}
	if err := m.cmd.Start(); err != nil {
		a.t.Fatal(err)
	}
	a.t.Cleanup(m.kill)
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		a.t.Fatalf("it says %q, %v\n%s", line, err, m.log())
	}
	return m, line
}

func (m *machine) kill() {
	_ = m.cmd.Process.Kill() // it may be gone
	_ = m.cmd.Wait()         // it was killed
}

func (m *machine) signal(s os.Signal) {
	m.t.Helper()
	if err := m.cmd.Process.Signal(s); err != nil {
		m.t.Fatal(err)
	}
}

// call sends a request and reads its answer's body into out.
func (m *machine) call(method, path string, body, out any) error {
	text, err := json.Marshal(body)
	if err != nil {
		return err
	}
	return m.send(method, path, "application/json", text, out)
}

func (m *machine) send(method, path, kind string, body []byte, out any) error {
	req, err := http.NewRequestWithContext(m.t.Context(), method, m.url+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	req.Header.Set("Content-Type", kind)
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode/100 != 2 {
		return errors.Join(err, fmt.Errorf("%s %s: %d %s", method, path, res.StatusCode, text))
	}
	return json.Unmarshal(text, out)
}

// Three machines on one database and one folder: a film that one takes in all show, its day
// is the academy's, six writers on one bullpen lose nothing, what one changes the others
// tell their pages, also after their listeners were cut, and one that is killed leaves
// nothing that another does not go on with.
func TestSeveralMachines(t *testing.T) {
	a := newAcademy(t)
	ctx := t.Context()
	if code, _, says := call(ctx, a.args("serve", "--listen", "127.0.0.1:0")...); code != exitUsage || !strings.Contains(says, "--zone") {
		t.Errorf("without a time zone: %d %s", code, says)
	}
	rows, err := store.OpenPostgres(ctx, a.address)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	if err := rows.SaveSetting(ctx, timeZone, "America/Denver"); err != nil {
		t.Fatal(err)
	}
	machines := []*machine{a.begin("Asia/Tokyo", "--zone", "America/Chicago"), a.begin("Europe/Berlin"), a.begin("America/Los_Angeles")}
	if said := machines[0].log(); !strings.Contains(said, "America/Denver") || !strings.Contains(said, "America/Chicago") {
		t.Errorf("another time zone than the kept one: %s", said)
	}

	var pen wire.Bullpen
	if err := machines[0].call(http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": "Kit"}, &pen); err != nil {
		t.Fatal(err)
	}
	chicago, err := time.LoadLocation("America/Chicago")
	if err != nil {
		t.Fatal(err)
	}
	if now := time.Now().In(chicago); pen.Day != now.Format(time.DateOnly) && pen.Day != now.Add(-time.Minute).Format(time.DateOnly) {
		t.Errorf("the bullpen is of %s, in Chicago it is %s", pen.Day, now)
	}
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	var taken wire.UploadResult
	if err := machines[0].send(http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=wren.mp4", "video/mp4", film, &taken); err != nil {
		t.Fatal(err)
	}

	a.write(machines, pen.ID, rows)
	for _, m := range machines[1:] {
		a.hear(machines[0], m, pen.ID)
	}

	machines[1].shows(taken.Film.ID)

	for range *long - 1 { // somebody's machine goes in the midst of its work
		another := a.begin("Asia/Tokyo")
		var other wire.Bullpen
		if err := another.call(http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": "Mo"}, &other); err != nil {
			t.Fatal(err)
		}
		for _, m := range machines { // the job is the other's
			m.signal(syscall.SIGSTOP)
		}
		if err := another.send(http.MethodPut, "/api/bullpens/"+other.ID+"/films?name=wren.mp4", "video/mp4", film, &taken); err != nil {
			t.Fatal(err)
		}
		for running := false; !running; {
			jobs, err := rows.Jobs(ctx, other.ID)
			if err != nil {
				t.Fatal(err)
			}
			running = slices.ContainsFunc(jobs, func(j store.Job) bool { return j.State == store.JobRunning })
		}
		another.kill()
		began := time.Now()
		for _, m := range machines {
			m.signal(syscall.SIGCONT)
		}
		machines[1].shows(taken.Film.ID)
		t.Logf("a film whose machine was killed is ready after %.1f s", time.Since(began).Seconds())
	}
	machines[0].kill()
	var rep wire.RepChange
	if err := machines[1].call(http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", map[string]any{"pitch": "ch"}, &rep); err != nil {
		t.Errorf("beside one that was killed: %v", err)
	}
	_, says, errs := call(ctx, a.args("doctor")...)
	if !strings.Contains(says, "ok   PostgreSQL ") || !strings.Contains(says, "every file is there") {
		t.Errorf("doctor: %s%s", says, errs)
	}
	for _, m := range machines {
		if *long == 1 && strings.Contains(m.log(), "level=ERROR") { // one that was stopped says what it missed
			t.Error(m.log())
		}
	}
}

// A database's films lie in one folder: another is refused and left as it is, and the doctor
// makes nothing and brings nothing up to date.
func TestAnotherFolder(t *testing.T) {
	a := newAcademy(t)
	ctx := t.Context()
	right := filepath.Join(a.data, "right")
	doctorSays := func(dir, address, want string) {
		t.Helper()
		if _, says, errs := call(ctx, "doctor", "--data", dir, "--store", address); !strings.Contains(says, want) {
			t.Errorf("the doctor on %s: %s%s", dir, says, errs)
		}
		if _, err := os.Stat(dir); err == nil && dir != right {
			t.Errorf("the doctor made %s", dir)
		}
	}
	doctorSays(right+"-not", a.address, "nothing in this database yet")
	facts, err := store.InspectPostgres(ctx, a.address)
	if err != nil || facts.Schema != 0 {
		t.Errorf("the doctor brought the database to schema %d, %v", facts.Schema, err)
	}
	doctorSays(right+"-not", a.server.Address("nowhere"), "There is no database of that name")
	if err := a.server.Do(ctx, "postgres", `CREATE ROLE stranger LOGIN`, `REVOKE CONNECT ON DATABASE academy FROM PUBLIC`); err != nil {
		t.Fatal(err)
	}
	doctorSays(right+"-not", strings.Replace(a.address, "://tenoff@", "://stranger@", 1), "no rights in the database")
	doctorSays(right+"-not", strings.Replace(a.address, "://tenoff@", "://nobody@", 1), "lets this user in from nowhere")

	open := func(dir string, make whether) error {
		flags := flag.NewFlagSet("", flag.ContinueOnError)
		at := placeFlags(flags)
		if err := flags.Parse([]string{"--store", a.address, "--data", dir}); err != nil {
			t.Fatal(err)
		}
		d, err := at.open(ctx, make)
		if err == nil {
			err = d.Close()
		}
		return err
	}
	if err := open(right, orNew); err != nil {
		t.Fatal(err)
	}
	if err := open(filepath.Join(a.data, "other"), orNew); err != nil { // there is no film yet
		t.Fatal(err)
	}
	first := a.nameFilm()
	if err := open(right, orNew); err != nil {
		t.Error(err)
	}
	missing := filepath.Join(a.data, "not-mounted")
	if err := open(missing, orNew); bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), first) {
		t.Errorf("a folder without its films: %v", err)
	}
	doctorSays(missing, a.address, "There is no tenoff data in")
	if err := os.WriteFile(filepath.Join(right, blob.MarkName), []byte("another\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := open(right, orNew); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Errorf("another's folder: %v", err)
	}
	if _, err := os.Stat(missing); err == nil {
		t.Error("a folder was made")
	}
	if err := a.server.Do(ctx, "academy", `UPDATE tenoff_schema SET schema = schema - 1`); err != nil {
		t.Fatal(err)
	}
	doctorSays(missing, a.address, "of an older tenoff")
}

// Of several databases that begin in one folder at the same time one has it, and the others
// hear of it.
func TestMarkedOnce(t *testing.T) {
	for range 50 {
		dir := markedFolder(t.TempDir())
		var mine [4]error
		var all sync.WaitGroup
		for i := range mine {
			all.Go(func() { mine[i] = dir.SetMark(t.Context(), fmt.Sprint(i/2)) }) // two machines of each of two
		}
		all.Wait()
		mark, err := dir.Mark(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		for i, err := range mine {
			if (err == nil) != (fmt.Sprint(i/2) == mark) || err != nil && bullpen.CodeOf(err) != bullpen.Unavailable {
				t.Errorf("the folder is %s's, and %d is told %v", mark, i/2, err)
			}
		}
		if left, err := os.ReadDir(string(dir)); err != nil || len(left) != 1 {
			t.Errorf("there are %v, %v", left, err)
		}
	}
}

// An empty mark is nobody's, and one that is there is not written over where a file system has
// no links.
func TestAnEmptyMark(t *testing.T) {
	dir := markedFolder(t.TempDir())
	mark := filepath.Join(string(dir), blob.MarkName)
	if err := os.WriteFile(mark, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := dir.SetMark(t.Context(), "mine"); bullpen.CodeOf(err) != bullpen.Unavailable || !strings.Contains(bullpen.MessageOf(err), "is empty") {
		t.Errorf("said %v", err)
	}
	if err := writeNew(mark, "mine\n"); !errors.Is(err, fs.ErrExist) {
		t.Errorf("written over: %v", err)
	}
}

// nameFilm has an academy's database name a film, whose file is nowhere, and returns whose
// films the database says they are.
func (a *academy) nameFilm() (first string) {
	a.t.Helper()
	ctx := a.t.Context()
	st, err := store.OpenPostgres(ctx, a.address)
	if err != nil {
		a.t.Fatal(err)
	}
	defer st.Close()
	_, pen, err := st.AddBullpenFor(ctx, bullpen.Pitcher{Label: "Kit"}, bullpen.Bullpen{Day: "2026-04-11"}, true)
	if err != nil {
		a.t.Fatal(err)
	}
	id := store.NewFilmID()
	if err := a.server.Do(ctx, "academy",
		`INSERT INTO films (id, academy_id, bullpen_id, version, created, name, sha256, bytes, state, refusal, position, recorded, width, height, codec, hdr, has_sound, clock_num, clock_den, ticks, slow, slow_known, view, made)
			SELECT '`+id+`', academy_id, id, 1, 1, 'a.mp4', 'x', 1, 'reading', '', 0, 0, 0, 0, '', 0, 0, 1, 1, '', 1, 0, '', '{}' FROM bullpens WHERE id = '`+pen.ID+`'`,
		`INSERT INTO files (key, academy_id, film_id, bytes, created) SELECT 'films/x/original', academy_id, id, 1, 1 FROM films`); err != nil {
		a.t.Fatal(err)
	}
	return st.First()
}

// clocks says that the test was built with clocks that can differ, see CLOCK_AHEAD in cmd/dev.
var clocks = flag.Bool("clocks", false, "machines go by clocks that differ; only `go run ./cmd/dev academy --clocks` builds them so")

// Three machines whose clocks are 20 s apart, in three time zones: a bullpen that is begun
// through any of them is of the same day, what one changes the others tell, and no job is
// done twice, though one machine's lease is over by another's clock as soon as it is taken.
func TestClocksApart(t *testing.T) {
	if !*clocks {
		t.Skip("this program has one clock; `go run ./cmd/dev academy --clocks` builds one with several")
	}
	a := newAcademy(t)
	a.rent()
	ctx := t.Context()
	rows, err := store.OpenPostgres(ctx, a.address)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var machines []*machine
	for i, zone := range []string{"Asia/Tokyo", "Europe/Berlin", "America/Los_Angeles"} {
		ahead := time.Duration(i-1) * 20 * time.Second
		a.ahead = ahead.String()
		m := a.begin(zone, "--zone", "America/Chicago")
		machines = append(machines, m)
		res, err := http.Get(m.url + "/live")
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if date, err := http.ParseTime(res.Header.Get("Date")); err != nil || (time.Until(date)-ahead).Abs() > 10*time.Second {
			t.Fatalf("its clock is not %v ahead: %s, %v", ahead, date, err)
		}
	}
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	var pens []wire.Bullpen
	for i := range 2 * len(machines) {
		m := machines[i%len(machines)]
		var pen wire.Bullpen
		if err := m.call(http.MethodPost, "/api/bullpens", map[string]any{"pitcherLabel": fmt.Sprint("Kit ", i)}, &pen); err != nil {
			t.Fatal(err)
		}
		if pens = append(pens, pen); pen.Day != pens[0].Day {
			t.Errorf("bullpens of one moment are of %s and %s", pens[0].Day, pen.Day)
		}
		var taken wire.UploadResult
		if err := m.send(http.MethodPut, "/api/bullpens/"+pen.ID+"/films?name=wren.mp4", "video/mp4", film, &taken); err != nil {
			t.Fatal(err)
		}
	}
	for _, m := range machines[1:] {
		a.hear(machines[0], m, pens[0].ID)
	}
	for {
		queues, err := rows.Queues(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if len(queues) == 0 {
			break
		}
		time.Sleep(200 * time.Millisecond)
	}
	a.raise(`SELECT count(*) = 0 OR max(attempts) > 1 OR bool_or(state <> 'done') FROM jobs`, "a job was begun twice")
	for _, pen := range pens {
		films, err := rows.Films(ctx, pen.ID)
		if err != nil || len(films) != 1 || films[0].State != bullpen.FilmReady {
			t.Errorf("films %+v, %v", films, err)
		}
	}
	for _, m := range machines {
		if said := m.log(); strings.Contains(said, "level=ERROR") || strings.Contains(said, "goes on elsewhere") {
			t.Error(said)
		}
	}
}

// shows waits until a film is ready.
func (m *machine) shows(filmID string) {
	m.t.Helper()
	var f wire.Film
	for range 3000 {
		if err := m.call(http.MethodGet, "/api/films/"+filmID, nil, &f); err != nil {
			m.t.Fatal(err)
		}
		if f.State != bullpen.FilmReading {
			break
		}
		time.Sleep(50 * time.Millisecond)
	}
	if f.State != bullpen.FilmReady {
		m.t.Errorf("the film is %s: %s\n%s", f.State, f.Refusal, m.log())
	}
}

// write has six writers log reps through all machines, each rep under a key of its own,
// and compares what each shows with the database.
func (a *academy) write(machines []*machine, penID string, rows *store.Store) {
	a.t.Helper()
	each := 8 * *long
	var mu sync.Mutex
	acknowledged := map[string]bool{}
	var slowest time.Duration
	began := time.Now()
	var work errgroup.Group
	for w := range 6 {
		work.Go(func() error {
			for i := range each {
				sent := time.Now()
				var rep wire.RepChange
				body := map[string]any{"key": fmt.Sprint(w, "/", i), "reading": map[string]any{"value": 40 + i%20, "unit": "mph", "step": 1, "gun": "behind catcher"}}
				if err := machines[(w+i)%len(machines)].call(http.MethodPost, "/api/bullpens/"+penID+"/reps", body, &rep); err != nil {
					return err
				}
				mu.Lock()
				acknowledged[rep.Rep.ID], slowest = true, max(slowest, time.Since(sent))
				mu.Unlock()
			}
			return nil
		})
	}
	if err := work.Wait(); err != nil {
		a.t.Fatal(err)
	}
	a.t.Logf("%d reps by six writers through %d machines in %.1f s, the slowest in %d ms", len(acknowledged), len(machines), time.Since(began).Seconds(), slowest.Milliseconds())
	a.raise(`SELECT deadlocks > 0 FROM pg_stat_database WHERE datname = 'academy'`, "writers locked each other out")
	want, err := rows.Reps(a.t.Context(), penID)
	if err != nil || len(want) != 6*each {
		a.t.Fatalf("%d reps in the database, %v", len(want), err)
	}
	for i, m := range machines {
		var sheet wire.Sheet
		if err := m.call(http.MethodGet, "/api/bullpens/"+penID, nil, &sheet); err != nil {
			a.t.Fatal(err)
		}
		if len(sheet.Reps) != len(want) {
			a.t.Fatalf("machine %d shows %d reps of %d", i, len(sheet.Reps), len(want))
		}
		for k, r := range want {
			if got := sheet.Reps[k]; got.ID != r.ID || got.Order != k+1 || got.Version != r.Version || !acknowledged[r.ID] {
				a.t.Fatalf("machine %d shows %+v, the database has %+v", i, got, r)
			}
		}
	}
}

// raise fails the test with a sentence where a question to the database is answered with yes.
func (a *academy) raise(question, sentence string) {
	a.t.Helper()
	if err := a.server.Do(a.t.Context(), "academy", `DO $$ BEGIN IF (`+question+`) THEN RAISE EXCEPTION '`+sentence+`'; END IF; END $$`); err != nil {
		a.t.Error(err)
	}
}

// hear logs reps through one machine, with all listeners cut in two of three times, and waits
// until another tells its pages.
func (a *academy) hear(one, other *machine, penID string) {
	a.t.Helper()
	ctx, cancel := context.WithCancel(a.t.Context())
	defer cancel()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, other.url+"/api/events", nil)
	if err != nil {
		a.t.Fatal(err)
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		a.t.Fatal(err)
	}
	defer res.Body.Close()
	told := make(chan int64, 1000)
	go func() {
		for lines := bufio.NewScanner(res.Body); lines.Scan(); {
			var e wire.BullpenEvent
			if text, is := strings.CutPrefix(lines.Text(), "data: "); is && json.Unmarshal([]byte(text), &e) == nil && e.BullpenID == penID {
				told <- e.Revision
			}
		}
	}()
	var took []time.Duration
	for i := range 3 * *long {
		if i%3 != 0 {
			if err := a.server.Do(ctx, "academy", `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE query LIKE '%pg_snapshot_xmin%' AND pid <> pg_backend_pid()`); err != nil {
				a.t.Fatal(err)
			}
		}
		var rep wire.RepChange
		if err := one.call(http.MethodPost, "/api/bullpens/"+penID+"/reps", map[string]any{"pitch": "fb"}, &rep); err != nil {
			a.t.Fatal(err)
		}
		began := time.Now()
		for limit := time.After(time.Minute); ; {
			select {
			case revision := <-told:
				if revision < rep.Revision {
					continue
				}
			case <-limit:
				a.t.Fatalf("revision %d was not told\n%s", rep.Revision, other.log())
			}
			break
		}
		took = append(took, time.Since(began))
	}
	slices.Sort(took)
	a.t.Logf("told by another machine after %d ms at the median and %d ms at most, listeners cut in two of three", took[len(took)/2].Milliseconds(), took[len(took)-1].Milliseconds())
}

// A film that was read and whose search can't be asked for, since the database is away just
// then, goes back, and is searched when it is there again; one that was refused is not.
func TestReadAndAway(t *testing.T) {
	a := newAcademy(t)
	ctx := t.Context()
	at := placeFlags(flag.NewFlagSet("", flag.ContinueOnError))
	if err := at.flags.Parse(a.args("")[1:]); err != nil {
		t.Fatal(err)
	}
	p, err := NewProgramOn(ctx, *at, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	_, pen, err := p.store.AddBullpenFor(ctx, bullpen.Pitcher{Label: "Kit"}, bullpen.Bullpen{Day: "2026-04-11"}, true)
	if err != nil {
		t.Fatal(err)
	}
	film := func(state bullpen.FilmState) store.Job {
		f := bullpen.Film{ID: store.NewFilmID(), BullpenID: pen.ID, Name: "a.mov", SHA256: string(state), State: state}
		if _, _, err := p.store.AddFilm(ctx, store.Film{Film: f}, store.NewJob{Kind: "none"}); err != nil {
			t.Fatal(err)
		}
		return store.Job{NewJob: store.NewJob{Kind: intake.Kind, Subject: f.ID, BullpenID: pen.ID}}
	}
	read := func(job store.Job) error { return p.readFilm(ctx, job, func(float64) {}) }
	searches := func() (n int) {
		queues, err := p.store.Queues(ctx)
		if err != nil {
			t.Fatal(err)
		}
		for _, q := range queues {
			if q.Kind == propose.RepsKind {
				n += q.Jobs
			}
		}
		return n
	}
	ready, refused := film(bullpen.FilmReady), film(bullpen.FilmRefused)
	// cannot_connect_now: PostgreSQL 15 documentation, appendix A
	if err := a.server.Do(ctx, "academy", `CREATE FUNCTION away() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN RAISE EXCEPTION 'away' USING ERRCODE = '57P03'; END $$`,
		`CREATE TRIGGER away BEFORE INSERT ON jobs FOR EACH ROW EXECUTE FUNCTION away()`); err != nil {
		t.Fatal(err)
	}
	if err := read(ready); !errors.Is(err, bullpen.ErrAway) {
		t.Errorf("a search that can't be asked for: %v", err)
	}
	if err := read(refused); err != nil {
		t.Errorf("a film that was refused: %v", err)
	}
	if err := a.server.Do(ctx, "academy", `DROP TRIGGER away ON jobs`); err != nil {
		t.Fatal(err)
	}
	if err := errors.Join(read(ready), read(refused)); err != nil || searches() != 1 {
		t.Errorf("%d searches, %v", searches(), err)
	}
}
