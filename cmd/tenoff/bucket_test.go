//go:build unix

package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"tenoff/internal/blob/s3server"
	"tenoff/internal/blob/s3test"
	"tenoff/internal/store"
)

// rent gives an academy a bucket for its films, in memory.
func (a *academy) rent() *s3test.Server {
	a.t.Helper()
	a.t.Setenv("TENOFF_S3_KEY", s3test.Key)
	a.t.Setenv("TENOFF_S3_SECRET", s3test.Secret)
	s := s3test.New()
	a.t.Cleanup(s.Close)
	a.files = "s3://" + s3test.Bucket + "/academy?endpoint=" + s.Endpoint()
	return s
}

// rentServer gives an academy a bucket of a real object storage.
func (a *academy) rentServer() *s3server.Server {
	a.t.Helper()
	a.t.Setenv("TENOFF_S3_KEY", s3server.Key)
	a.t.Setenv("TENOFF_S3_SECRET", s3server.Secret)
	s, err := s3server.Start(a.t.Context(), a.t.TempDir(), nil)
	if err != nil {
		a.t.Fatal(err)
	}
	a.t.Cleanup(func() {
		if err := s.Crash(); err != nil {
			a.t.Error(err)
		}
	})
	a.files = s.Address("academy")
	return s
}

// tus sends a request of the tus protocol for whoever holds a slip.
func (m *machine) tus(token, method, at string, body io.Reader, header ...string) (*http.Response, string, error) {
	req, err := http.NewRequestWithContext(m.t.Context(), method, m.url+at, body)
	if err != nil {
		return nil, "", err
	}
	req.Header.Set("Tus-Resumable", "1.0.0")
	req.Header.Set("Slip", token)
	for i := 0; i+1 < len(header); i += 2 {
		req.Header.Set(header[i], header[i+1])
	}
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return nil, "", err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	return res, string(text), err
}

// handOut makes a homework and returns the token of its slip, and its bullpen.
func (m *machine) handOut() (token, pitcher, pen string) {
	m.t.Helper()
	var her, workout struct{ ID string }
	var work struct{ ID, BullpenID string }
	var slip struct{ Link string }
	for _, err := range []error{
		m.call(http.MethodPost, "/api/pitchers", map[string]any{"label": "Wren"}, &her),
		m.call(http.MethodPost, "/api/workouts", json.RawMessage(`{"title":"Wall","sets":[{"times":1,"lines":[{"drill":"","pitch":"ch","reps":3}]}]}`), &workout),
		m.call(http.MethodPost, "/api/pitchers/"+her.ID+"/consents", json.RawMessage(`{"guardian":"her mother","given":"2026-05-01","for":["homework","results"]}`), &struct{}{}),
		m.call(http.MethodPost, "/api/homework", map[string]any{"pitcherId": her.ID, "workoutId": workout.ID}, &work),
		m.call(http.MethodPost, "/api/homework/"+work.ID+"/slips", map[string]any{"maxFiles": 500}, &slip),
	} {
		if err != nil {
			m.t.Fatal(err)
		}
	}
	_, token, _ = strings.Cut(slip.Link, "#")
	return token, her.ID, work.BullpenID
}

// dribble gives a body slowly, and never ends.
type dribble struct{ data []byte }

func (d *dribble) Read(p []byte) (int, error) {
	if len(d.data) == 0 {
		time.Sleep(time.Minute)
		return 0, io.ErrUnexpectedEOF
	}
	n := copy(p[:min(len(p), 64<<10)], d.data)
	d.data = d.data[n:]
	return n, nil
}

// An academy's films lie in a bucket: a homework film begun on one machine, which is killed
// in the midst of it, goes on on another and is what was sent; both serve it by ranges; with
// the storage gone they say so and go on when it is back; what is deleted leaves nothing.
func TestFilesInABucket(t *testing.T) {
	a := newAcademy(t)
	s3 := a.rent()
	ctx := t.Context()
	one, two := a.begin("Asia/Tokyo", "--zone", "America/Chicago"), a.begin("Europe/Berlin")
	token, pitcher, pen := one.handOut()
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	// The film and what a phone would send along behind its end: several parts.
	film = append(film, append([]byte{0, 0xc0, 0, 8, 'f', 'r', 'e', 'e'}, make([]byte, 12<<20)...)...)
	copy(film[len(film)-12<<20-8:], []byte{0, 0xc0, 0, 8})

	res, text, err := one.tus(token, http.MethodPost, "/api/slip/uploads", nil, "Upload-Length", fmt.Sprint(len(film)),
		"Upload-Metadata", "filename "+base64.StdEncoding.EncodeToString([]byte("wren.mp4")))
	if err != nil || res.StatusCode != http.StatusCreated {
		t.Fatalf("%v %v %s\n%s", err, res, text, one.log())
	}
	at := res.Header.Get("Location")
	patch := func(m *machine, offset int, body io.Reader) (*http.Response, string, error) {
		return m.tus(token, http.MethodPatch, at, body, "Upload-Offset", fmt.Sprint(offset), "Content-Type", "application/offset+octet-stream")
	}
	if res, text, err := patch(one, 0, bytes.NewReader(film[:1_000_000])); err != nil || res.StatusCode != http.StatusNoContent {
		t.Fatalf("%v %v %s\n%s", err, res, text, one.log())
	}
	lost := make(chan error)
	go func() {
		_, _, err := patch(one, 1_000_000, &dribble{film[1_000_000 : len(film)-1_000_000]})
		lost <- err
	}()
	for inParts := false; !inParts; time.Sleep(20 * time.Millisecond) {
		inParts = slices.ContainsFunc(s3.Asked(), func(r string) bool { return strings.Contains(r, "partNumber=1&") })
	}
	one.kill()
	if err := <-lost; err == nil {
		t.Error("a machine that was killed answered")
	}
	began := time.Now()
	offset := -1
	for offset < 0 {
		res, text, err := two.tus(token, http.MethodHead, at, nil)
		switch {
		case err == nil && res.StatusCode == http.StatusOK:
			if _, err := fmt.Sscan(res.Header.Get("Upload-Offset"), &offset); err != nil {
				t.Fatal(err)
			}
		case err != nil || res.StatusCode != http.StatusLocked || time.Since(began) > time.Minute:
			t.Fatalf("%v %v %s\n%s", err, res, text, two.log())
		}
	}
	t.Logf("the other machine goes on at %d of %d bytes after %.1f s", offset, len(film), time.Since(began).Seconds())
	res, text, err = patch(two, offset, bytes.NewReader(film[offset:]))
	if err != nil || res.StatusCode != http.StatusNoContent {
		t.Fatalf("%v %v %s\n%s", err, res, text, two.log())
	}

	rows, err := store.OpenPostgres(ctx, a.address)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	films, err := rows.Films(ctx, pen)
	if err != nil || len(films) != 1 || films[0].SHA256 != sumOf(film) || films[0].Bytes != int64(len(film)) {
		t.Fatalf("%+v, %v; sent %s of %d bytes", films, err, sumOf(film), len(film))
	}
	two.shows(films[0].ID)
	var got []byte
	for _, c := range []struct {
		asked  string
		status int
	}{{"", http.StatusOK}, {"bytes=100-299", http.StatusPartialContent}} {
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, two.url+"/api/films/"+films[0].ID+"/working.mp4", nil)
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Range", c.asked)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		data, err := io.ReadAll(res.Body)
		if e := errors.Join(err, res.Body.Close()); e != nil || res.StatusCode != c.status {
			t.Fatalf("%s: %d %v", c.asked, res.StatusCode, e)
		}
		if c.asked == "" {
			got = data
		} else if !bytes.Equal(data, got[100:300]) {
			t.Errorf("%s: %d bytes, and other ones", c.asked, len(data))
		}
	}

	s3.Fault(func(w http.ResponseWriter, _ *http.Request) bool {
		w.WriteHeader(http.StatusServiceUnavailable)
		return true
	})
	for _, c := range []struct{ method, path, kind string }{
		{http.MethodGet, "/api/films/" + films[0].ID + "/working.mp4", ""},
		{http.MethodPut, "/api/bullpens/" + pen + "/films?name=a.mp4", "video/mp4"},
	} {
		req, err := http.NewRequestWithContext(ctx, c.method, two.url+c.path, strings.NewReader("a film"))
		if err != nil {
			t.Fatal(err)
		}
		req.Header.Set("Content-Type", c.kind)
		res, err := http.DefaultClient.Do(req)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(res.Body)
		if e := errors.Join(err, res.Body.Close()); e != nil || res.StatusCode != http.StatusServiceUnavailable || !bytes.Contains(text, []byte("try again")) || res.Header.Get("Retry-After") == "" {
			t.Errorf("%s %s without the storage: %d %s, %v", c.method, c.path, res.StatusCode, text, res.Header)
		}
	}
	if res, text, err := two.tus(token, http.MethodPost, "/api/slip/uploads", nil, "Upload-Length", "100", "Upload-Metadata", "filename YQ=="); err != nil ||
		res.StatusCode != http.StatusServiceUnavailable || res.Header.Get("Retry-After") == "" {
		t.Errorf("an upload without the storage: %v %v %s", err, res, text)
	}
	s3.Fault(nil)

	if _, says, errs := call(ctx, a.args("doctor")...); !strings.Contains(says, "every file is there") || !strings.Contains(says, "each belongs to a homework") {
		t.Errorf("doctor: %s%s", says, errs)
	}
	var would struct{ Confirm string }
	if err := two.call(http.MethodGet, "/api/pitchers/"+pitcher+"/removal", nil, &would); err != nil {
		t.Fatal(err)
	}
	if err := two.call(http.MethodDelete, "/api/pitchers/"+pitcher+"?confirm="+would.Confirm, nil, &struct{}{}); err != nil {
		t.Fatal(err)
	}
	objects, uploads := s3.Left()
	objects = slices.DeleteFunc(objects, func(key string) bool { return strings.HasSuffix(key, ".info") || strings.HasSuffix(key, ".done") })
	if !slices.Equal(objects, []string{"academy/academy"}) || len(uploads) > 0 {
		t.Errorf("of what was deleted there are %v and %v", objects, uploads)
	}
}

// A storage of many machines that does not know yet, on one of them, of what it has just put
// together is asked again before a student hears that her film is not there.
func TestBucketKnowsLate(t *testing.T) {
	a := newAcademy(t)
	s3 := a.rent()
	m := a.begin("UTC", "--zone", "America/Chicago")
	token, _, pen := m.handOut()
	film, err := os.ReadFile(drawn.path)
	if err != nil {
		t.Fatal(err)
	}
	rows, err := store.OpenPostgres(t.Context(), a.address)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	isUpload := func(path string) bool { return strings.Contains(path, "/uploads/") && !strings.Contains(path, ".") }
	lookedFor := func(r *http.Request) bool { return r.Method == http.MethodHead && isUpload(r.URL.Path) }
	read := func(r *http.Request) bool {
		return r.Method == http.MethodGet && isUpload(r.URL.Path) && !r.URL.Query().Has("uploadId")
	}
	begin := func(film []byte) (at string) {
		t.Helper()
		res, text, err := m.tus(token, http.MethodPost, "/api/slip/uploads", nil, "Upload-Length", fmt.Sprint(len(film)), "Upload-Metadata", "filename YQ==")
		if err != nil || res.StatusCode != http.StatusCreated {
			t.Fatalf("%v %v %s\n%s", err, res, text, m.log())
		}
		return res.Header.Get("Location")
	}
	send := func(at string, film []byte) (*http.Response, string, error) {
		return m.tus(token, http.MethodPatch, at, bytes.NewReader(film), "Upload-Offset", "0", "Content-Type", "application/offset+octet-stream")
	}
	for i, late := range []struct {
		what string
		is   func(r *http.Request) bool
	}{
		{"looked for", lookedFor},
		{"read", read},
		{"copied", func(r *http.Request) bool {
			from, err := url.PathUnescape(r.Header.Get("X-Amz-Copy-Source"))
			return err == nil && isUpload(from)
		}},
	} {
		var mu sync.Mutex
		joined, notThere, reads := false, 0, 0
		s3.Fault(func(w http.ResponseWriter, r *http.Request) bool {
			mu.Lock()
			defer mu.Unlock()
			if r.Method == http.MethodPost && r.URL.Query().Has("uploadId") {
				joined = true
			}
			if !joined || notThere == 2 || !late.is(r) {
				if read(r) && strings.HasPrefix(r.Header.Get("Range"), "bytes=0-") {
					reads++
				}
				return false
			}
			notThere++
			w.WriteHeader(http.StatusNotFound)
			_, _ = io.WriteString(w, `<Error><Code>NoSuchKey</Code></Error>`)
			return true
		})
		mine := append(bytes.Clone(film), box(late.what)...)
		res, text, err := send(begin(mine), mine)
		if err != nil || res.StatusCode != http.StatusNoContent || notThere != 2 {
			t.Errorf("not there yet when it is %s, %d times: %v %v %s", late.what, notThere, err, res, text)
		}
		if reads != 1 {
			t.Errorf("not there yet when it is %s: the film was read %d times", late.what, reads)
		}
		films, err := rows.Films(t.Context(), pen)
		if err != nil || len(films) != i+1 {
			t.Errorf("not there yet when it is %s: %d films, %v", late.what, len(films), err)
		}
	}
	// As long as it is not there a request asks for a while, once for all that it needs of it.
	// Who has just sent it hears that it is here; who asks later, that it is not; and then it is.
	asked := 0
	joined := false
	var mu sync.Mutex
	s3.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		mu.Lock()
		defer mu.Unlock()
		joined = joined || r.Method == http.MethodPost && r.URL.Query().Has("uploadId")
		if !joined || !lookedFor(r) {
			return false
		}
		asked++
		w.WriteHeader(http.StatusNotFound)
		return true
	})
	mine := append(bytes.Clone(film), box("never")...)
	at := begin(mine)
	const most = 6
	res, text, err := send(at, mine)
	if err != nil || res.StatusCode != http.StatusServiceUnavailable || !strings.Contains(text, "Your film has arrived") || res.Header.Get("Retry-After") == "" || asked > most {
		t.Errorf("not there when it was sent: %v %v %s, asked %d times", err, res, text, asked)
	}
	asked = 0
	if res, text, err := m.tus(token, http.MethodHead, at, nil); err != nil || res.StatusCode != http.StatusNotFound || asked > most {
		t.Errorf("not there when it is asked for: %v %v %s, asked %d times", err, res, text, asked)
	}
	asked = 0
	if code, _, says := call(t.Context(), a.args("doctor")...); asked != 2 { // for what it is, and for what names it
		t.Errorf("the doctor asked %d times: %d %s", asked, code, says)
	}
	s3.Fault(nil)
	if res, text, err := m.tus(token, http.MethodHead, at, nil); err != nil || res.StatusCode != http.StatusOK || res.Header.Get("Upload-Offset") != fmt.Sprint(len(mine)) {
		t.Errorf("there at last: %v %v %s", err, res, text)
	}
	if films, err := rows.Films(t.Context(), pen); err != nil || len(films) != 4 {
		t.Errorf("there at last: %d films, %v", len(films), err)
	}
}

// Another database's bucket is refused, and so are secrets in an address, and files in a
// bucket without rows in a PostgreSQL.
func TestAnotherBucket(t *testing.T) {
	a := newAcademy(t)
	a.rent()
	ctx := t.Context()
	for what, args := range map[string][]string{
		"no database":     {"serve", "--files", a.files},
		"a secret":        {"serve", "--store", a.address, "--files", strings.Replace(a.files, "s3://", "s3://me:secret@", 1)},
		"no room at all":  {"serve", "--store", a.address, "--files", a.files, "--copies", "0"},
		"room of nothing": {"serve", "--store", a.address, "--data", t.TempDir(), "--copies", "3"},
	} {
		if code, _, says := call(ctx, args...); code != exitUsage || strings.Contains(says, "secret@") {
			t.Errorf("%s: %d %s", what, code, says)
		}
	}
	cmd := exec.Command(os.Args[0], a.args("doctor")...)
	cmd.Env = append(os.Environ(), asProgram+"=1")
	if out, err := cmd.CombinedOutput(); err != nil && !bytes.Contains(out, []byte("nothing in this database yet")) {
		t.Errorf("the doctor: %s, %v", out, err)
	}
	one := a.begin("Asia/Tokyo", "--zone", "America/Chicago")
	one.kill()
	if err := a.server.Do(ctx, "postgres", `CREATE DATABASE other`); err != nil {
		t.Fatal(err)
	}
	a.address = a.server.Address("other")
	code, _, says := call(ctx, a.args("serve", "--listen", "127.0.0.1:0", "--zone", "America/Chicago")...)
	if code != exitFailed || !strings.Contains(says, "films of another database") {
		t.Errorf("another database's bucket: %d %s", code, says)
	}

	a.address = a.server.Address("academy")
	first := a.nameFilm()
	a.files = strings.Replace(a.files, "/academy?", "/other?", 1)
	code, _, says = call(ctx, a.args("serve", "--listen", "127.0.0.1:0")...)
	if code != exitFailed || !strings.Contains(says, "store an object “other/academy” there with the text "+first) || strings.Contains(says, "folder") {
		t.Errorf("a prefix without its films: %d %s", code, says)
	}
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}
