package blob

import (
	"bufio"
	"context"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// killEnv, when set, makes the test binary the child that is killed: it holds the
// folder to store files in.
const killEnv = "TENOFF_TEST_FILES_IN"

func TestMain(m *testing.M) {
	if dir := os.Getenv(killEnv); dir != "" {
		os.Exit(putForEver(dir))
	}
	os.Exit(m.Run())
}

func open(t *testing.T) *Store {
	t.Helper()
	s, err := Open(filepath.Join(t.TempDir(), "files"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// dirOf is the folder that a store keeps its files in.
func dirOf(s *Store) string { return s.engine.(*folder).dir }

func TestConforms(t *testing.T) {
	conform(t, open)
}

// TestStaysInside puts links that lead out into the folder.
func TestStaysInside(t *testing.T) {
	s := open(t)
	outside := t.TempDir()
	if err := os.WriteFile(filepath.Join(outside, "secret"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(outside, filepath.Join(dirOf(s), "films")); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Open(t.Context(), "films/secret"); err == nil {
		t.Error("read through a link that leads out")
	}
	if _, err := s.Put(t.Context(), "films/new", strings.NewReader("x")); err == nil {
		t.Error("wrote through a link that leads out")
	}
	if err := s.Delete(t.Context(), "films/secret"); err == nil {
		t.Error("deleted through a link that leads out")
	}
	if _, err := os.Stat(filepath.Join(outside, "secret")); err != nil {
		t.Errorf("what lies outside is gone: %v", err)
	}
}

func TestNobodyElseReads(t *testing.T) {
	s := open(t)
	desk, err := s.TempDir()
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(desk, "clip")
	if err := os.WriteFile(file, []byte("x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Adopt(t.Context(), "clips/c/clip", file, ""); err != nil {
		t.Fatal(err)
	}
	err = filepath.WalkDir(dirOf(s), func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		info, err := d.Info()
		if err == nil && info.Mode().Perm()&0o077 != 0 {
			t.Errorf("%s is %v", path, info.Mode())
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

func TestEmptyFoldersGo(t *testing.T) {
	s := open(t)
	put(t, s, "films/a/1/strip", "x")
	put(t, s, "clips/c/clip", "x")
	if err := s.Delete(t.Context(), "films/a/1/strip"); err != nil {
		t.Fatal(err)
	}
	if err := s.Delete(t.Context(), "clips/c/clip"); err != nil {
		t.Fatal(err)
	}
	entries, err := os.ReadDir(dirOf(s))
	if err != nil || len(entries) != 1 || entries[0].Name() != arriving {
		t.Errorf("left %v, %v", entries, err)
	}
}

func TestFreeAndRead(t *testing.T) {
	s := open(t)
	if free, err := s.Free(); err != nil || free <= 0 {
		t.Errorf("%d bytes free, %v", free, err)
	}
	_, err := Read(filepath.Join(dirOf(s), "nothing"))
	wantCode(t, err, bullpen.Unavailable)
	file := filepath.Join(dirOf(s), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, err = Open(filepath.Join(file, "below"))
	wantCode(t, err, bullpen.Unavailable)
}

// The file numbered i holds this content, so that half of one can be told.
func numbered(i int) string {
	return strings.Repeat(fmt.Sprintf("%08d", i), 20_000)
}

// putForEver stores numbered files and says each number once the store has
// acknowledged it.
func putForEver(dir string) int {
	s, err := Open(dir)
	if err != nil {
		return 1
	}
	for i := os.Getpid() * 1000; ; i++ {
		if _, err := s.Put(context.Background(), fmt.Sprintf("films/%d/original", i), strings.NewReader(numbered(i))); err != nil {
			return 1
		}
		fmt.Println(i)
	}
}

// TestKill kills a program that stores files at a random instant, many times over.
// What it acknowledged is there and whole; whatever else is there is whole too.
func TestKill(t *testing.T) {
	s := open(t)
	said := map[string]bool{}
	for range 12 {
		cmd := exec.Command(os.Args[0])
		cmd.Env = append(os.Environ(), killEnv+"="+dirOf(s))
		out, err := cmd.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		in := bufio.NewReader(out)
		for first := true; ; first = false {
			line, err := in.ReadString('\n')
			if err != nil {
				break
			}
			said[strings.TrimSpace(line)] = true
			if first {
				time.AfterFunc(time.Duration(rand.IntN(40_000))*time.Microsecond, func() { cmd.Process.Kill() })
			}
		}
		_ = cmd.Wait()
		if cmd.ProcessState.Exited() {
			t.Fatalf("the child ended by itself: %v", cmd.ProcessState)
		}
	}
	list, err := s.List(t.Context(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range list {
		var i int
		if _, err := fmt.Sscanf(f.Key, "films/%d/original", &i); err != nil {
			t.Fatalf("%s: %v", f.Key, err)
		}
		if content(t, s, f.Key) != numbered(i) {
			t.Errorf("%s is not whole", f.Key)
		}
		delete(said, fmt.Sprint(i))
	}
	if len(said) > 0 {
		t.Errorf("acknowledged and lost: %v", said)
	}
	t.Logf("%d files in 12 lives", len(list))
	if err := s.Sweep(t.Context()); err != nil {
		t.Fatal(err)
	}
}
