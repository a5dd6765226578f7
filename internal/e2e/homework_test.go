package e2e

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

// student is somebody with a slip.
type student struct {
	p        *program
	token    string
	homework wire.Homework
}

// student hands a workout out to a new pitcher and makes a slip for it.
func (p *program) student(t *testing.T, label string) *student {
	t.Helper()
	var her wire.Pitcher
	p.must(t, http.MethodPost, "/api/pitchers", wire.NewPitcher{Label: label}, &her)
	p.must(t, http.MethodPost, "/api/pitchers/"+her.ID+"/consents", wire.NewConsent{Guardian: "her mother", Given: "2026-05-01", Covers: "homework", For: bullpen.Purposes}, nil)
	var w wire.Workout
	p.must(t, http.MethodPost, "/api/workouts", wire.WorkoutText{Title: "Weekly", Sets: []wire.WorkoutSet{{Times: 2, Lines: []wire.WorkoutLine{{Drill: "Wrist snap", Pitch: bullpen.Fastball, Reps: 2}}}}}, &w)
	s := &student{p: p}
	p.must(t, http.MethodPost, "/api/homework", wire.NewHomework{PitcherID: her.ID, WorkoutID: w.ID}, &s.homework)
	s.slip(t)
	return s
}

// slip makes a slip for her homework.
func (s *student) slip(t *testing.T) {
	t.Helper()
	var made wire.MadeSlip
	s.p.must(t, http.MethodPost, "/api/homework/"+s.homework.ID+"/slips", wire.NewSlip{}, &made)
	_, s.token, _ = strings.Cut(made.Link, "#")
}

// ask sends a request with her slip.
func (s *student) ask(ctx context.Context, method, path string, body io.Reader, header ...string) (*http.Response, error) {
	req, err := http.NewRequestWithContext(ctx, method, s.p.url+path, body)
	if err != nil {
		return nil, err
	}
	req.Header.Set("Slip", s.token)
	req.Header.Set("Tus-Resumable", "1.0.0")
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return nil, err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	res.Body = io.NopCloser(bytes.NewReader(text))
	return res, err
}

// begin begins an upload and returns its address.
func (s *student) begin(ctx context.Context, size int64) (string, error) {
	res, err := s.ask(ctx, http.MethodPost, "/api/slip/uploads", nil, "Upload-Length", fmt.Sprint(size), "Upload-Metadata", "filename YS5tcDQ=") // a.mp4
	if err != nil {
		return "", err
	}
	if res.StatusCode != http.StatusCreated {
		return "", fmt.Errorf("begun: %s", res.Status)
	}
	return res.Header.Get("Location"), nil
}

func (s *student) send(ctx context.Context, at string, offset int64, r io.Reader) (int, error) {
	res, err := s.ask(ctx, http.MethodPatch, at, r, "Upload-Offset", fmt.Sprint(offset), "Content-Type", "application/offset+octet-stream")
	if err != nil {
		return 0, err
	}
	return res.StatusCode, nil
}

// here asks how much of an upload has arrived.
func (s *student) here(t *testing.T, at string) int64 {
	t.Helper()
	res, err := s.ask(t.Context(), http.MethodHead, at, nil)
	if err != nil {
		t.Fatal(err)
	}
	n, err := strconv.ParseInt(res.Header.Get("Upload-Offset"), 10, 64)
	if err != nil {
		t.Fatalf("%s: %s", at, res.Status)
	}
	return n
}

// page reads her slip's page.
func (s *student) page(t *testing.T) (page wire.SlipPage) {
	t.Helper()
	res, err := s.ask(t.Context(), http.MethodGet, "/api/slip", nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.NewDecoder(res.Body).Decode(&page); err != nil || res.StatusCode != http.StatusOK {
		t.Fatalf("her page: %s, %v", res.Status, err)
	}
	return page
}

// noise is n bytes that nothing can guess.
func noise(n int) []byte {
	b := make([]byte, n)
	source := rand.NewChaCha8([32]byte{byte(n), 6})
	_, _ = source.Read(b)
	return b
}

func sumOf(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// An upload is cut off by a lost connection and by a server that is killed, is backed
// up meanwhile, goes on each time where it stopped, and arrives as it was sent.
func TestHomeworkUploadGoesOn(t *testing.T) {
	data := t.TempDir()
	p := serve(t, data)
	s := p.student(t, "Wren")
	other := p.student(t, "Jay")
	film := noise(6 << 20)
	at, err := s.begin(t.Context(), int64(len(film)))
	if err != nil {
		t.Fatal(err)
	}
	offset := int64(0)
	for _, cut := range []string{"the connection", "the server", "the server again"} {
		ctx, lose := context.WithCancel(t.Context())
		body, feed := io.Pipe()
		gone := make(chan error, 1)
		go func() {
			_, err := s.send(ctx, at, offset, body)
			gone <- err
		}()
		if _, err := feed.Write(film[offset : offset+1<<20+777]); err != nil {
			t.Fatal(err)
		}
		for s.page(t).Arriving[0].Received <= offset { // the first of it reaches the disk
			time.Sleep(10 * time.Millisecond)
		}
		if cut == "the connection" {
			lose()
		} else {
			p.kill(t)
			p = serve(t, data)
			s.p, other.p = p, p
		}
		feed.Close()
		if err := <-gone; err == nil {
			t.Errorf("%s: the upload did not break off", cut)
		}
		lose()
		before := offset
		for range 50 { // what arrived before the break may still be on its way to the disk
			if offset = s.here(t, at); offset > before {
				break
			}
			time.Sleep(20 * time.Millisecond)
		}
		if offset <= before || offset > before+1<<20+777 {
			t.Fatalf("%s: %d bytes are here, %d before", cut, offset, before)
		}
	}
	saved := filepath.Join(t.TempDir(), "backup")
	if out, err := exec.Command(tenoff, "backup", "--data", data, saved).CombinedOutput(); err != nil {
		t.Fatalf("backup: %v %s", err, out)
	}
	if status, err := s.send(t.Context(), at, offset, bytes.NewReader(film[offset:])); err != nil || status != http.StatusNoContent {
		t.Fatalf("the rest: %d, %v", status, err)
	}
	page := s.page(t)
	if len(page.Films) != 1 || page.Films[0].Sha256 != sumOf(film) || len(page.Arriving) != 0 {
		t.Errorf("what arrived: %+v", page.Films)
	}
	if page := other.page(t); len(page.Films) != 0 || page.Pitcher != "Jay" {
		t.Errorf("the other student sees %+v", page.Films)
	}
	var doctor wire.Doctor
	p.must(t, http.MethodGet, "/api/doctor", nil, &doctor)
	if !doctor.OK {
		t.Errorf("the doctor says %+v", doctor.Checks)
	}
	// The backup has the homework; its slip is closed, and what was on its way begins
	// anew.
	p.stop(t)
	back := filepath.Join(t.TempDir(), "back")
	if out, err := exec.Command(tenoff, "restore", "--data", back, saved).CombinedOutput(); err != nil {
		t.Fatalf("restore: %v %s", err, out)
	}
	p = serve(t, back)
	s.p = p
	if res, err := s.ask(t.Context(), http.MethodGet, "/api/slip", nil); err != nil || res.StatusCode != http.StatusNotFound {
		t.Errorf("a slip from before the backup opens: %v, %v", res, err)
	}
	s.slip(t)
	if page := s.page(t); page.Pitcher != "Wren" || len(page.Arriving) != 0 {
		t.Errorf("restored: %+v", page)
	}
	p.must(t, http.MethodGet, "/api/doctor", nil, &doctor)
	if !doctor.OK {
		t.Errorf("the doctor of what was restored says %+v", doctor.Checks)
	}
	if res, err := s.ask(t.Context(), http.MethodHead, at, nil); err != nil || res.StatusCode != http.StatusNotFound {
		t.Errorf("the upload that was not in the backup: %v, %v", res, err)
	}
}

// students is how many send at once. TENOFF_STUDENT_MIB says how much each sends;
// 200 is a long film.
const students = 25

func studentBytes(t *testing.T) int {
	t.Helper()
	text := os.Getenv("TENOFF_STUDENT_MIB")
	if text == "" {
		return 2 << 20
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatalf("TENOFF_STUDENT_MIB: %v", err)
	}
	return n << 20
}

// Twenty-five students send at once: every film arrives as it was sent, the server
// holds none of them in memory, and the log says how fast it was beside a server
// that only writes what it is sent, and how long the instructor waited for a sheet
// meanwhile.
func TestManyStudentsAtOnce(t *testing.T) {
	p := serve(t, t.TempDir())
	all := make([]*student, students)
	for i := range all {
		all[i] = p.student(t, fmt.Sprint("Student ", i+1))
	}
	size := studentBytes(t)
	film := noise(size)
	want := sumOf(film)

	bare := bareServer(t)
	plain := together(t, func(int) error {
		req, err := http.NewRequestWithContext(t.Context(), http.MethodPut, bare, bytes.NewReader(film))
		if err != nil {
			return err
		}
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			return err
		}
		defer res.Body.Close()
		if res.StatusCode != http.StatusCreated {
			return errors.New(res.Status)
		}
		return nil
	})

	done := make(chan struct{})
	waits := make(chan []time.Duration, 1)
	go func() {
		var took []time.Duration
		defer func() { waits <- took }()
		for {
			select {
			case <-done:
				return
			case <-time.After(20 * time.Millisecond):
			}
			began := time.Now()
			if status, _, err := p.try(context.WithoutCancel(t.Context()), http.MethodGet, "/api/bullpens/"+all[0].homework.BullpenID, nil); err == nil && status == http.StatusOK {
				took = append(took, time.Since(began))
			}
		}
	}()
	ours := together(t, func(i int) error {
		at, err := all[i].begin(t.Context(), int64(size))
		if err != nil {
			return err
		}
		status, err := all[i].send(t.Context(), at, 0, bytes.NewReader(film))
		if err == nil && status != http.StatusNoContent {
			err = fmt.Errorf("sent: %d", status)
		}
		return err
	})
	close(done)
	took := <-waits
	slices.Sort(took)
	at := func(share float64) time.Duration {
		if len(took) == 0 {
			return 0
		}
		return took[int(float64(len(took))*share)].Round(time.Millisecond)
	}
	peak := p.peak(t)
	total := float64(students) * float64(size) / (1 << 20)
	t.Logf("%d students, %d MiB each: %.0f MiB/s, a bare server %.0f MiB/s: ratio %.2f; peak memory %d MiB; the instructor's sheet p50 %v, p95 %v of %d",
		students, size>>20, total/ours.Seconds(), total/plain.Seconds(), plain.Seconds()/ours.Seconds(), peak>>20, at(0.5), at(0.95), len(took))
	for _, s := range all {
		page := s.page(t)
		if len(page.Films) != 1 || page.Films[0].Sha256 != want {
			t.Errorf("%s: %+v", page.Pitcher, page.Films)
		}
	}
	if peak > 300<<20 {
		t.Errorf("the server took %d MiB, at most 300 are wanted", peak>>20)
	}
}

// together does something for every student at once and returns how long all took.
func together(t *testing.T, do func(i int) error) time.Duration {
	t.Helper()
	began := time.Now()
	var all sync.WaitGroup
	for i := range students {
		all.Go(func() {
			if err := do(i); err != nil {
				t.Errorf("student %d: %v", i+1, err)
			}
		})
	}
	all.Wait()
	return time.Since(began)
}

// bareServer only writes what it is sent to the disk and flushes it.
func bareServer(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &http.Server{ReadHeaderTimeout: time.Minute, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		f, err := os.CreateTemp(dir, "put-")
		if err == nil {
			_, err = io.Copy(f, r.Body)
			err = errors.Join(err, f.Sync(), f.Close())
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
		w.WriteHeader(http.StatusCreated)
	})}
	go func() { _ = s.Serve(l) }() // ends with Close
	t.Cleanup(func() { s.Close() })
	return "http://" + l.Addr().String()
}
