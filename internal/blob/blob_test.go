package blob

import (
	"bytes"
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

func open(t *testing.T) *Store {
	t.Helper()
	s, err := Open(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

func TestPutOpenDelete(t *testing.T) {
	s := open(t)
	want := bytes.Repeat([]byte("film"), 1<<16)
	info, err := s.Put(t.Context(), "films/a1/original.mp4", bytes.NewReader(want))
	if err != nil || info.Size != int64(len(want)) {
		t.Fatalf("Put: %+v, %v", info, err)
	}
	f, err := s.Open("films/a1/original.mp4")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got, _ := io.ReadAll(f); !bytes.Equal(got, want) {
		t.Error("what was put is not what is there")
	}
	if _, err := s.Put(t.Context(), "films/a1/original.mp4", strings.NewReader("x")); bullpen.CodeOf(err) != bullpen.Conflict {
		t.Errorf("a second Put: %v, want a conflict", err)
	}
	if err := s.Delete("films/a1/original.mp4"); err != nil {
		t.Fatal(err)
	}
	if err := s.Delete("films/a1/original.mp4"); err != nil {
		t.Errorf("deleting what is gone: %v", err)
	}
	if _, err := s.Open("films/a1/original.mp4"); bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("opening what is gone: %v", err)
	}
}

func TestPutIsAllOrNothing(t *testing.T) {
	s := open(t)
	broken := io.MultiReader(strings.NewReader("half"), iotestErr{})
	if _, err := s.Put(t.Context(), "films/a/o", broken); err == nil {
		t.Fatal("a broken stream was stored")
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := s.Put(ctx, "films/a/o", strings.NewReader("x")); err == nil {
		t.Fatal("stored although the caller had gone")
	}
	if files, err := s.List(""); err != nil || len(files) != 0 {
		t.Errorf("left behind: %v, %v", files, err)
	}
	if left, _ := os.ReadDir(filepath.Join(s.dir, arriving)); len(left) != 0 {
		t.Errorf("left half made: %v", left)
	}
}

type iotestErr struct{}

func (iotestErr) Read([]byte) (int, error) { return 0, errors.New("the line broke") }

func TestKeysStayInside(t *testing.T) {
	s := open(t)
	for _, key := range []string{"", "/etc/passwd", "../x", "a/../b", "a//b", ".hidden", "a/.b", "A", "a b", "a\x00", "arriving/x", strings.Repeat("../", 9) + "x"} {
		if _, err := s.Put(t.Context(), key, strings.NewReader("x")); err == nil {
			t.Errorf("Put(%q) went through", key)
		}
		if _, err := s.Open(key); err == nil {
			t.Errorf("Open(%q) went through", key)
		}
		if _, err := s.Path(key); err == nil {
			t.Errorf("Path(%q) went through", key)
		}
	}
	if err := os.Symlink("/etc", filepath.Join(s.dir, "films")); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Open("films/hostname"); err == nil {
		t.Error("a link led out of the folder")
	}
}

func TestAdoptSweepAndTree(t *testing.T) {
	s := open(t)
	desk, err := s.Desk()
	if err != nil {
		t.Fatal(err)
	}
	made := filepath.Join(desk, "clip.mp4")
	if err := os.WriteFile(made, []byte("clip"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Adopt("clips/c1/clip.mp4", made); err != nil {
		t.Fatal(err)
	}
	elsewhere := filepath.Join(t.TempDir(), "x")
	if err := os.WriteFile(elsewhere, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Adopt("clips/c2/clip.mp4", elsewhere); err == nil {
		t.Error("adopted a file from elsewhere")
	}
	if err := os.WriteFile(filepath.Join(desk, "half"), []byte("x"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := s.Sweep(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(desk); err == nil {
		t.Error("a sweep left the desk")
	}
	if n, err := s.DeleteTree("clips/c1"); err != nil || n != 4 {
		t.Errorf("DeleteTree: %d, %v", n, err)
	}
	if files, _ := s.List(""); len(files) != 0 {
		t.Errorf("left: %v", files)
	}
	if free, err := s.Free(); err != nil || free <= 0 {
		t.Errorf("Free: %d, %v", free, err)
	}
}
