package blob

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"flag"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tenoff/internal/blob/s3server"
	"tenoff/internal/blob/s3test"
	"tenoff/internal/bullpen"
)

// realOne names a real object storage that the suite runs over instead of the one in memory,
// with a bucket that may be filled; who asks comes from the environment.
var realOne = flag.String("s3", "", "run the suite over `s3://BUCKET/PREFIX?endpoint=URL`")

// rented opens a store in a bucket, with parts and copies so small that there are several.
func rented(t *testing.T, at Address, room int64) *Store {
	t.Helper()
	b, err := newBucket(at, t.TempDir(), room)
	if err != nil {
		t.Fatal(err)
	}
	b.part, b.once = 5<<20, 8<<20
	if err := errors.Join(b.Ready(t.Context()), b.clear()); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	return &Store{b}
}

// inMemory is a storage in memory, and a store in it.
func inMemory(t *testing.T, room int64) (*s3test.Server, *Store) {
	t.Helper()
	t.Setenv(keyVariable, s3test.Key)
	t.Setenv(secretVariable, s3test.Secret)
	server := s3test.New()
	t.Cleanup(server.Close)
	return server, rented(t, Address{Bucket: s3test.Bucket, Prefix: "academy/", Endpoint: server.Endpoint(), Region: "us-east-1"}, room)
}

func TestConformsInABucket(t *testing.T) {
	if *realOne != "" {
		conformsAt(t, *realOne)
		return
	}
	conform(t, func(t *testing.T) *Store { _, s := inMemory(t, Room); return s })
}

// The suite over a real storage, on this machine.
func TestConformsOnAServer(t *testing.T) {
	if _, err := s3server.Built(); err != nil {
		t.Skip(err)
	}
	t.Setenv(keyVariable, s3server.Key)
	t.Setenv(secretVariable, s3server.Secret)
	s, err := s3server.Start(t.Context(), t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := s.Crash(); err != nil {
			t.Error(err)
		}
	}()
	conformsAt(t, s.Address("suite"))
}

func conformsAt(t *testing.T, address string) {
	at, err := ParseAddress(address)
	if err != nil {
		t.Fatal(err)
	}
	n := 0
	conform(t, func(t *testing.T) *Store {
		n++
		at := at
		at.Prefix += "t" + hex.EncodeToString([]byte(time.Now().Format("150405.000"))) + string(rune('a'+n)) + "/"
		return rented(t, at, Room)
	})
}

// noise is a film of some bytes that no two tests share.
func noise(n int) []byte {
	out := make([]byte, n)
	r := rand.NewChaCha8([32]byte{byte(n), byte(n >> 8), 7})
	_, _ = r.Read(out) // never fails
	return out
}

func sumOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// A large file goes up in parts and is copied in parts, comes back whole, and is served by
// ranges as net/http serves a file (RFC 9110, 14).
func TestLargeFiles(t *testing.T) {
	server, s := inMemory(t, Room)
	film := noise(19<<20 + 123)
	if _, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(film)); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Copy(t.Context(), "films/a/original", "films/b/original"); err != nil {
		t.Fatal(err)
	}
	for _, key := range []string{"films/a/original", "films/b/original"} {
		if sum, err := s.Sum(t.Context(), key); err != nil || sum != sumOf(film) {
			t.Errorf("%s: %s, %v", key, sum, err)
		}
	}
	parts, copied := 0, 0
	for _, r := range server.Asked() {
		if strings.Contains(r, "partNumber") {
			if strings.Contains(r, "/a/") {
				parts++
			} else {
				copied++
			}
		}
	}
	if parts != 4 || copied != 3 {
		t.Errorf("%d parts went up, %d were copied", parts, copied)
	}
	for _, c := range []struct {
		asked    string
		status   int
		from, to int
	}{
		{"", 200, 0, len(film)},
		{"bytes=0-", 206, 0, len(film)},
		{"bytes=10485760-10485769", 206, 10485760, 10485770},
		{"bytes=-7", 206, len(film) - 7, len(film)},
		{"bytes=99999999-", 416, 0, 0},
	} {
		w := httptest.NewRecorder()
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Range", c.asked)
		f, err := s.Open(t.Context(), "films/a/original")
		if err != nil {
			t.Fatal(err)
		}
		http.ServeContent(w, r, "", time.Time{}, f)
		f.Close()
		if w.Code != c.status || c.status != 416 && !bytes.Equal(w.Body.Bytes(), film[c.from:c.to]) {
			t.Errorf("%q: %d with %d bytes", c.asked, w.Code, w.Body.Len())
		}
	}
}

// A file that was stored is there, also when the answer that says so is lost and the request
// is made again; what another put under the key stays another's.
func TestAnswerLost(t *testing.T) {
	for what, size := range map[string]int{"at once": 1000, "in parts": 11 << 20} {
		t.Run(what, func(t *testing.T) {
			server, s := inMemory(t, Room)
			var lost atomic.Bool
			losing := func() {
				lost.Store(false)
				server.Lose(func(r *http.Request) bool {
					stores := r.Method == http.MethodPut && !r.URL.Query().Has("partNumber") || r.Method == http.MethodPost && r.URL.Query().Has("uploadId")
					return stores && lost.CompareAndSwap(false, true)
				})
			}
			film := noise(size)
			losing()
			if _, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(film)); err != nil {
				t.Fatalf("stored, and called %v", err)
			}
			if !lost.Load() {
				t.Fatal("no answer was lost")
			}
			if sum, err := s.Sum(t.Context(), "films/a/original"); err != nil || sum != sumOf(film) {
				t.Errorf("there is %s, %v", sum, err)
			}
			losing()
			if _, err := s.Copy(t.Context(), "films/a/original", "films/b/original"); err != nil {
				t.Errorf("copied, and called %v", err)
			}
			server.Lose(nil)
			// Another puts as many bytes there between the look at the key and the end.
			server.Fault(func(_ http.ResponseWriter, r *http.Request) bool {
				if r.Method != http.MethodHead {
					server.Fault(nil)
					if _, err := s.Put(t.Context(), "films/c/original", bytes.NewReader(film)); err != nil {
						t.Error(err)
					}
				}
				return false
			})
			_, err := s.Put(t.Context(), "films/c/original", bytes.NewReader(film))
			wantCode(t, err, bullpen.Conflict)
			if _, left := server.Left(); len(left) != 0 {
				t.Errorf("%v came to no end", left)
			}
		})
	}
}

// Reading here and there asks for little, reading on and on for few pieces.
func TestPieces(t *testing.T) {
	server, s := inMemory(t, Room)
	film := noise(20 << 20)
	if _, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(film)); err != nil {
		t.Fatal(err)
	}
	f, err := s.Open(t.Context(), "films/a/original")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	server.Asked()
	for range 50 {
		at, p := rand.Int64N(int64(len(film))), make([]byte, 1+rand.IntN(5000))
		n, err := f.ReadAt(p, at)
		if want := film[at:min(at+int64(len(p)), int64(len(film)))]; !bytes.Equal(p[:n], want) || err != nil && (err != io.EOF || n == len(p)) {
			t.Fatalf("at %d: %d bytes, %v", at, n, err)
		}
	}
	server.Asked()
	if data, err := io.ReadAll(f); err != nil || !bytes.Equal(data, film) {
		t.Errorf("%d bytes, %v", len(data), err)
	}
	if asked := server.Asked(); len(asked) > 5 {
		t.Errorf("20 MB were asked for in %d pieces", len(asked))
	}
}

// Copies take no more than their room, those in use stay, and what is deleted goes at once.
func TestCopiesHere(t *testing.T) {
	_, s := inMemory(t, 25_000)
	other := &Store{s.engine.(*bucket)}
	for _, name := range []string{"a", "b", "c", "d"} {
		put(t, s, "films/"+name, strings.Repeat(name, 10_000))
	}
	here := func() int64 {
		t.Helper()
		entries, err := os.ReadDir(s.engine.(*bucket).cache.dir)
		if err != nil {
			t.Fatal(err)
		}
		var n int64
		for _, e := range entries {
			info, err := e.Info()
			if err != nil {
				t.Fatal(err)
			}
			n += info.Size()
		}
		return n
	}
	local := func(name string) (string, func()) {
		t.Helper()
		path, done, err := s.Local(t.Context(), "films/"+name)
		if err != nil {
			t.Fatal(err)
		}
		if data, err := os.ReadFile(path); err != nil || string(data) != strings.Repeat(name, 10_000) {
			t.Errorf("%s: %d bytes, %v", name, len(data), err)
		}
		return path, done
	}
	a, doneA := local("a")
	_, doneB := local("b")
	_, doneC := local("c") // more than there is room for: all are used
	if n := here(); n != 30_000 {
		t.Errorf("%d bytes are here, all in use", n)
	}
	doneC()
	doneB()
	if n := here(); n > 25_000 {
		t.Errorf("%d bytes are here", n)
	}
	_, doneD := local("d")
	doneD()
	if _, err := os.Stat(a); err != nil {
		t.Errorf("a copy in use is gone: %v", err)
	}
	if err := other.Delete(t.Context(), "films/a"); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(a); err != nil {
		t.Errorf("a copy in use went with its file: %v", err)
	}
	doneA()
	if _, err := os.Stat(a); err == nil {
		t.Error("the copy of a file that was deleted is still here")
	}
	_, _, err := s.Local(t.Context(), "films/a")
	wantCode(t, err, bullpen.NotFound)
}

// Many programs use more files than there is room for, while some are deleted.
func TestCopiesAtOnce(t *testing.T) {
	_, s := inMemory(t, 50_000)
	for i := range 12 {
		put(t, s, "films/"+string(rune('a'+i)), strings.Repeat(string(rune('a'+i)), 10_000))
	}
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 40 {
				name := string(rune('a' + rand.IntN(12)))
				path, done, err := s.Local(t.Context(), "films/"+name)
				if err != nil {
					t.Error(err)
				} else if data, err := os.ReadFile(path); err != nil || string(data) != strings.Repeat(name, 10_000) {
					t.Errorf("%s: %d bytes, %v", name, len(data), err)
				}
				done()
			}
		})
	}
	all.Wait()
	c := s.engine.(*bucket).cache
	c.mu.Lock()
	defer c.mu.Unlock()
	entries, err := os.ReadDir(c.dir)
	if err != nil || c.taken > c.room || int64(len(entries))*10_000 != c.taken {
		t.Errorf("%d bytes are listed, %d copies lie there, %v", c.taken, len(entries), err)
	}
}

// A storage that ended while it put parts together, and says afterwards that all is well, has
// kept nothing: the file is not called stored, and can be stored again.
func TestSaidToBeWhole(t *testing.T) {
	server, s := inMemory(t, Room)
	film := noise(11 << 20)
	server.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		if r.Method != http.MethodPost || !r.URL.Query().Has("uploadId") {
			return false
		}
		_, _ = io.WriteString(w, `<CompleteMultipartUploadResult><ETag>"whole"</ETag></CompleteMultipartUploadResult>`)
		return true
	})
	_, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(film))
	wantCode(t, err, bullpen.Unavailable)
	server.Fault(nil)
	if _, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(film)); err != nil {
		t.Error(err)
	}
	if sum, err := s.Sum(t.Context(), "films/a/original"); err != nil || sum != sumOf(film) {
		t.Errorf("there is %s, %v", sum, err)
	}
	if _, left := server.Left(); len(left) != 0 {
		t.Errorf("%v came to no end", left)
	}
}

// What a storage refuses in passing is sent again, once more.
func TestRefusedInPassing(t *testing.T) {
	server, s := inMemory(t, Room)
	refused := false
	server.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		if r.Method != http.MethodPut || refused {
			return false
		}
		refused = true
		w.WriteHeader(http.StatusConflict)
		_, _ = io.WriteString(w, `<Error><Code>ExistingObjectIsDirectory</Code><Message>Existing Object is a directory.</Message></Error>`)
		return true
	})
	put(t, s, "films/a/original", "a film")
	if got := content(t, s, "films/a/original"); got != "a film" || !refused {
		t.Errorf("%q, refused: %v", got, refused)
	}
}

// Whatever goes wrong at the storage is 503 with a sentence, and leaves nothing.
func TestNoAnswer(t *testing.T) {
	for name, fault := range map[string]func(w http.ResponseWriter, r *http.Request) bool{
		"its own fault": func(w http.ResponseWriter, r *http.Request) bool {
			w.WriteHeader(http.StatusInternalServerError)
			return true
		},
		"cut off": func(w http.ResponseWriter, r *http.Request) bool { panic(http.ErrAbortHandler) },
		"no key": func(w http.ResponseWriter, r *http.Request) bool {
			w.WriteHeader(http.StatusForbidden)
			return true
		},
		"half an answer": func(w http.ResponseWriter, r *http.Request) bool {
			if r.Method != http.MethodGet || r.URL.Query().Has("list-type") {
				return false
			}
			w.Header().Set("Content-Length", "6")
			w.WriteHeader(http.StatusPartialContent)
			_, _ = w.Write([]byte("a f"))
			panic(http.ErrAbortHandler)
		},
	} {
		t.Run(name, func(t *testing.T) {
			server, s := inMemory(t, Room)
			put(t, s, "films/a/original", "a film")
			s.engine.(*bucket).cache.drop("films/a/original")
			server.Fault(fault)
			_, err := s.Sum(t.Context(), "films/a/original")
			wantCode(t, err, bullpen.Unavailable)
			_, done, err := s.Local(t.Context(), "films/a/original")
			done()
			wantCode(t, err, bullpen.Unavailable)
			if name != "half an answer" {
				_, err = s.Put(t.Context(), "films/b/original", strings.NewReader("another"))
				wantCode(t, err, bullpen.Unavailable)
				wantCode(t, s.Delete(t.Context(), "films/a/original"), bullpen.Unavailable)
				wantCode(t, s.Ready(t.Context()), bullpen.Unavailable)
			}
			server.Fault(nil)
			if got := listed(t, s, "") + ": " + content(t, s, "films/a/original"); got != "films/a/original: a film" {
				t.Errorf("afterwards there is %s", got)
			}
			path, done, err := s.Local(t.Context(), "films/a/original")
			defer done()
			if data, e := os.ReadFile(path); errors.Join(err, e) != nil || string(data) != "a film" {
				t.Errorf("%q, %v", data, errors.Join(err, e))
			}
		})
	}
}

// A storage that is gone is said to be within seconds.
func TestGone(t *testing.T) {
	server, s := inMemory(t, Room)
	server.Close()
	ctx, cancel := context.WithTimeout(t.Context(), 30*time.Second)
	defer cancel()
	_, err := s.Open(ctx, "films/a/original")
	wantCode(t, err, bullpen.Unavailable)
	if ctx.Err() != nil {
		t.Error("it was waited for for half a minute")
	}
}

// What broke off in parts is swept when it is older than asked, and nothing else is.
func TestPartsThatCameToNoEnd(t *testing.T) {
	server, s := inMemory(t, Room)
	put(t, s, "films/kept/original", "kept")
	failed := 0
	server.Fault(func(w http.ResponseWriter, r *http.Request) bool {
		if r.URL.Query().Get("partNumber") != "2" && (r.Method != http.MethodDelete || !r.URL.Query().Has("uploadId")) {
			return false
		}
		failed++
		w.WriteHeader(http.StatusServiceUnavailable)
		return true
	})
	_, err := s.Put(t.Context(), "films/a/original", bytes.NewReader(noise(12<<20)))
	wantCode(t, err, bullpen.Unavailable)
	server.Fault(nil)
	if objects, uploads := server.Left(); failed == 0 || len(objects) != 1 || !slices.Equal(uploads, []string{"academy/files/films/a/original"}) {
		t.Fatalf("%d refused; there are %v and %v", failed, objects, uploads)
	}
	day := func() time.Time { return time.Now().Add(-24 * time.Hour) }
	if err := s.SweepOld(t.Context(), day()); err != nil {
		t.Fatal(err)
	}
	if _, uploads := server.Left(); len(uploads) != 1 {
		t.Error("what may be another machine's was swept")
	}
	server.Age(25 * time.Hour)
	if err := s.SweepOld(t.Context(), day()); err != nil {
		t.Fatal(err)
	}
	if objects, uploads := server.Left(); len(uploads) != 0 || len(objects) != 1 {
		t.Errorf("there are %v and %v", objects, uploads)
	}
}

// Nobody who asks without the key gets in, and the address holds no secret.
func TestAddress(t *testing.T) {
	for text, want := range map[string]Address{
		"s3://films": {Bucket: "films", Region: "us-east-1"},
		"s3://films/one/academy/?endpoint=https://s3.example:9000/&region=eu-west-1": {"films", "one/academy/", "https://s3.example:9000", "eu-west-1"},
	} {
		if got, err := ParseAddress(text); err != nil || got != want {
			t.Errorf("%s: %+v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "films", "https://films", "s3://", "s3://F", "s3://key:secret@films", "s3://films/../x", "s3://films/a//b",
		"s3://films?endpoint=ftp://x", "s3://films?endpoint=https://", "s3://films?endpoint=https://a:b@x", "s3://films?secret=x"} {
		_, err := ParseAddress(text)
		wantCode(t, err, bullpen.Invalid)
		if err != nil && strings.Contains(err.Error(), "secret@") {
			t.Errorf("%s is repeated: %v", text, err)
		}
	}
	for endpoint, plain := range map[string]bool{"http://127.0.0.1:7070": false, "http://localhost:7070": false, "http://[::1]:7070": false,
		"http://s3.example": true, "http://10.0.0.7:7070": true, "https://s3.example": false, "": false} {
		if got := (Address{Endpoint: endpoint}).Plain(); got != plain {
			t.Errorf("%q can be read along: %v", endpoint, got)
		}
	}
}

func TestSecrets(t *testing.T) {
	for _, name := range []string{keyVariable, secretVariable, secretFileVariable} {
		t.Setenv(name, "")
	}
	if _, _, err := secrets(); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Error(err)
	}
	path := filepath.Join(t.TempDir(), "secret")
	if err := os.WriteFile(path, []byte("of the file\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Setenv(keyVariable, "me")
	t.Setenv(secretFileVariable, path)
	if key, secret, err := secrets(); err != nil || key != "me" || secret != "of the file" {
		t.Error(key, secret, err)
	}
	t.Setenv(secretFileVariable, path+"s")
	if _, _, err := secrets(); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Error(err)
	}
}
