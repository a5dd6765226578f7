package blob

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"tenoff/internal/bullpen"
)

// conform runs the suite; fresh opens an empty place.
func conform(t *testing.T, fresh func(*testing.T) *Store) {
	for name, test := range map[string]func(*testing.T, *Store){
		"put, open, delete":     putOpenDelete,
		"whole or not there":    wholeOrNotThere,
		"a key is taken once":   takenOnce,
		"keys":                  keys,
		"adopt":                 adopt,
		"lists and trees":       listsAndTrees,
		"many at once":          manyAtOnce,
		"read while it goes":    readWhileItGoes,
		"half made things go":   sweep,
		"empty and large files": sizes,
		"copies":                copies,
		"here for a program":    here,
		"what was promised":     promised,
	} {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
}

func put(t *testing.T, s *Store, key, content string) {
	t.Helper()
	info, err := s.Put(t.Context(), key, strings.NewReader(content))
	if err != nil || info != (Info{Key: key, Size: int64(len(content))}) {
		t.Fatalf("Put %s: %+v, %v", key, info, err)
	}
}

func content(t *testing.T, s *Store, key string) string {
	t.Helper()
	f, err := s.Open(t.Context(), key)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(data)
}

func listed(t *testing.T, s *Store, prefix string) string {
	t.Helper()
	list, err := s.List(t.Context(), prefix)
	if err != nil {
		t.Fatal(err)
	}
	var keys []string
	for _, f := range list {
		keys = append(keys, f.Key)
	}
	return strings.Join(keys, " ")
}

func wantCode(t *testing.T, err error, want bullpen.Code) {
	t.Helper()
	if bullpen.CodeOf(err) != want {
		t.Errorf("error %v: code %q, want %q", err, bullpen.CodeOf(err), want)
	}
}

func putOpenDelete(t *testing.T, s *Store) {
	put(t, s, "films/a1/original", "a film")
	if got := content(t, s, "films/a1/original"); got != "a film" {
		t.Errorf("read %q", got)
	}
	f, err := s.Open(t.Context(), "films/a1/original")
	if err != nil {
		t.Fatal(err)
	}
	part := make([]byte, 4)
	if _, err := f.ReadAt(part, 2); err != nil || string(part) != "film" {
		t.Errorf("in the middle: %q, %v", part, err)
	}
	if err := f.Close(); err != nil {
		t.Error(err)
	}
	for range 2 { // deleting what is gone is no error
		if err := s.Delete(t.Context(), "films/a1/original"); err != nil {
			t.Error(err)
		}
	}
	_, err = s.Open(t.Context(), "films/a1/original")
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Stat(t.Context(), "films/a1/original")
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Stat(t.Context(), "films")
	wantCode(t, err, bullpen.NotFound)
	put(t, s, "films/a1/original", "another")
}

func wholeOrNotThere(t *testing.T, s *Store) {
	broken := io.MultiReader(strings.NewReader("half"), failing{})
	if _, err := s.Put(t.Context(), "films/a/o", broken); err == nil {
		t.Error("a broken stream was stored")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Put(ctx, "films/a/o", strings.NewReader("x")); !errors.Is(err, context.Canceled) {
		t.Errorf("stored although the caller had gone: %v", err)
	}
	if got := listed(t, s, ""); got != "" {
		t.Errorf("left behind: %s", got)
	}
}

type failing struct{}

func (failing) Read([]byte) (int, error) { return 0, errors.New("the line broke") }

func takenOnce(t *testing.T, s *Store) {
	put(t, s, "clips/c/1/clip.mp4", "first")
	_, err := s.Put(t.Context(), "clips/c/1/clip.mp4", strings.NewReader("second"))
	wantCode(t, err, bullpen.Conflict)
	if got := content(t, s, "clips/c/1/clip.mp4"); got != "first" {
		t.Errorf("it became %q", got)
	}
}

func keys(t *testing.T, s *Store) {
	for _, key := range []string{
		"", ".", "..", "/etc/passwd", "../x", "a/../b", "a//b", "a/", ".hidden", "a/.b", "A", "a b", "a\x00", "a\n", "ä", `a\b`, "-a", "a:b",
		"arriving", "arriving/x", strings.Repeat("../", 9) + "x", strings.Repeat("a", 241),
	} {
		_, err := s.Put(t.Context(), key, strings.NewReader("x"))
		wantCode(t, err, bullpen.Invalid)
		_, err = s.Open(t.Context(), key)
		wantCode(t, err, bullpen.Invalid)
		_, err = s.Stat(t.Context(), key)
		wantCode(t, err, bullpen.Invalid)
		wantCode(t, s.Delete(t.Context(), key), bullpen.Invalid)
		_, _, err = s.Local(t.Context(), key)
		wantCode(t, err, bullpen.Invalid)
		_, err = s.Copy(t.Context(), "a", key)
		wantCode(t, err, bullpen.Invalid)
	}
	for _, key := range []string{"a", "b/c/d", "films/a1/x_y-z.0.mp4", "arrivings/a", "0/a..b", strings.Repeat("e/", 100) + "e"} {
		put(t, s, key, key)
	}
}

func adopt(t *testing.T, s *Store) {
	desk, err := s.TempDir()
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(desk)
	write := func(path string) string {
		if err := os.WriteFile(path, []byte("clip"), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	info, err := s.Adopt(t.Context(), "clips/c1/clip.mp4", write(filepath.Join(desk, "clip.mp4")), "")
	if err != nil || info != (Info{Key: "clips/c1/clip.mp4", Size: 4}) {
		t.Fatalf("%+v, %v", info, err)
	}
	if _, err := s.Adopt(t.Context(), "clips/c2/clip.mp4", write(filepath.Join(t.TempDir(), "x")), ""); err == nil {
		t.Error("adopted a file from elsewhere")
	}
	if _, err := s.Adopt(t.Context(), "clips/c2/clip.mp4", filepath.Join(desk, "nothing"), ""); err == nil {
		t.Error("adopted what is not there")
	}
	if _, err := s.Adopt(t.Context(), "clips/c2/clip.mp4", desk, ""); err == nil {
		t.Error("adopted a folder")
	}
	again := write(filepath.Join(desk, "clip.mp4"))
	_, err = s.Adopt(t.Context(), "clips/c1/clip.mp4", again, "")
	wantCode(t, err, bullpen.Conflict)
	if _, err := os.Stat(again); err != nil {
		t.Errorf("what was not adopted is gone: %v", err)
	}
}

func listsAndTrees(t *testing.T, s *Store) {
	for _, key := range []string{"films/b/original", "films/a/1/strip", "films/a/original", "films/ab/original", "clips/c/clip"} {
		put(t, s, key, "12345")
	}
	for prefix, want := range map[string]string{
		"":         "clips/c/clip films/a/1/strip films/a/original films/ab/original films/b/original",
		"films/a":  "films/a/1/strip films/a/original",
		"films":    "films/a/1/strip films/a/original films/ab/original films/b/original",
		"nothing":  "",
		"clips/c/": "?",
	} {
		if want == "?" {
			_, err := s.List(t.Context(), prefix)
			wantCode(t, err, bullpen.Invalid)
			continue
		}
		if got := listed(t, s, prefix); got != want {
			t.Errorf("under %q: %s", prefix, got)
		}
	}
	if n, bytes, err := s.Usage(t.Context(), "films"); n != 4 || bytes != 20 || err != nil {
		t.Errorf("usage: %d files, %d bytes, %v", n, bytes, err)
	}
}

// manyAtOnce puts and deletes next to one another: no file fails because its folder
// was just empty, and of several under one key one is first.
func manyAtOnce(t *testing.T, s *Store) {
	var all sync.WaitGroup
	var mu sync.Mutex
	var first int
	for i := range 8 {
		all.Go(func() {
			for j := range 10 {
				key := fmt.Sprintf("films/same/%d-%d", i, j)
				if _, err := s.Put(t.Context(), key, strings.NewReader(key)); err != nil {
					t.Error(err)
				}
				if err := s.Delete(t.Context(), key); err != nil {
					t.Error(err)
				}
			}
			_, err := s.Put(t.Context(), "films/one/original", strings.NewReader(fmt.Sprint(i)))
			mu.Lock()
			defer mu.Unlock()
			if err == nil {
				first++
			} else {
				wantCode(t, err, bullpen.Conflict)
			}
		})
	}
	all.Wait()
	if got := listed(t, s, ""); got != "films/one/original" || first != 1 {
		t.Errorf("left %s; %d were first", got, first)
	}
}

// readWhileItGoes reads a file that is deleted meanwhile: whoever has it open gets all of it
// or an error, and never a part that passes for the whole.
func readWhileItGoes(t *testing.T, s *Store) {
	put(t, s, "films/a/original", "a film")
	f, err := s.Open(t.Context(), "films/a/original")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := s.Delete(t.Context(), "films/a/original"); err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(f)
	if _, ok := s.engine.(*folder); err != nil && (ok || bullpen.CodeOf(err) != bullpen.NotFound) {
		t.Error(err)
	}
	if err == nil && string(data) != "a film" {
		t.Errorf("the reader got %q", data)
	}
}

func sweep(t *testing.T, s *Store) {
	put(t, s, "films/a/original", "a film")
	desk, err := s.TempDir()
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(desk, "half"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.Sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(desk); err == nil {
		t.Error("a sweep left the desk")
	}
	if got := listed(t, s, ""); got != "films/a/original" {
		t.Errorf("left %q", got)
	}
	put(t, s, "films/b/original", "another")
}

func sizes(t *testing.T, s *Store) {
	for i, n := range []int{0, 1, 1<<15 - 1, 1 << 15, 3 << 20} {
		key := fmt.Sprintf("films/%d", i)
		data := slices.Repeat([]byte{byte(i)}, n)
		info, err := s.Put(t.Context(), key, bytes.NewReader(data))
		if err != nil || info.Size != int64(n) {
			t.Errorf("%d bytes: %+v, %v", n, info, err)
		}
		if got := content(t, s, key); got != string(data) {
			t.Errorf("%d bytes came back as %d", n, len(got))
		}
	}
}

func copies(t *testing.T, s *Store) {
	put(t, s, "clips/a/clip.mp4", "a clip")
	info, err := s.Copy(t.Context(), "clips/a/clip.mp4", "clips/b/clip.mp4")
	if err != nil || info != (Info{Key: "clips/b/clip.mp4", Size: 6}) {
		t.Fatalf("%+v, %v", info, err)
	}
	put(t, s, "clips/c/clip.mp4", "another")
	_, err = s.Copy(t.Context(), "clips/a/clip.mp4", "clips/c/clip.mp4")
	wantCode(t, err, bullpen.Conflict)
	_, err = s.Copy(t.Context(), "clips/nobody/clip.mp4", "clips/d/clip.mp4")
	wantCode(t, err, bullpen.NotFound)
	if err := s.Delete(t.Context(), "clips/a/clip.mp4"); err != nil {
		t.Fatal(err)
	}
	if got := content(t, s, "clips/b/clip.mp4") + ", " + content(t, s, "clips/c/clip.mp4"); got != "a clip, another" {
		t.Errorf("the copies are %s", got)
	}
	if got := listed(t, s, ""); got != "clips/b/clip.mp4 clips/c/clip.mp4" {
		t.Errorf("left %s", got)
	}
}

// here gives the same file to several programs at once, which read it by its path.
func here(t *testing.T, s *Store) {
	film := strings.Repeat("a film", 1<<18)
	put(t, s, "films/a/original", film)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			path, done, err := s.Local(t.Context(), "films/a/original")
			defer done()
			if err != nil {
				t.Error(err)
				return
			}
			if data, err := os.ReadFile(path); err != nil || string(data) != film {
				t.Errorf("%d bytes, %v", len(data), err)
			}
		})
	}
	all.Wait()
}

// promised takes in a file of which another SHA-256 was said than it has. A folder keeps
// what lies on its desk; no other place may.
func promised(t *testing.T, s *Store) {
	if _, ok := s.engine.(*folder); ok {
		t.Skip("what lies on the desk is what is kept")
	}
	for _, size := range []int{100, 20 << 20} {
		desk, err := s.TempDir()
		if err != nil {
			t.Fatal(err)
		}
		defer os.RemoveAll(desk)
		file := filepath.Join(desk, "clip")
		if err := os.WriteFile(file, make([]byte, size), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err = s.Adopt(t.Context(), "clips/c/clip", file, strings.Repeat("0", 64))
		wantCode(t, err, bullpen.Unavailable)
		if got := listed(t, s, ""); got != "" {
			t.Errorf("left %s", got)
		}
	}
}
