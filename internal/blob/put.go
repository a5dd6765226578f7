package blob

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path"
	"path/filepath"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// Put stores what r gives under key, whole or not at all: into a file of its own,
// flushed to the disk, then renamed. It stops when ctx ends. A key that is taken
// is refused with Conflict.
func (s *Store) Put(ctx context.Context, key string, r io.Reader) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	desk, err := s.Desk()
	if err != nil {
		return Info{}, err
	}
	defer disk.RemoveAll(desk)
	name := filepath.Join(desk, "file")
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return Info{}, full(err)
	}
	_, err = io.Copy(f, reader{ctx, r})
	if err := errors.Join(err, f.Close()); err != nil {
		return Info{}, full(err)
	}
	return s.Adopt(key, name)
}

// reader ends with its context.
type reader struct {
	ctx context.Context
	r   io.Reader
}

func (r reader) Read(p []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.r.Read(p)
}

// Desk makes a new empty folder in which files can be made before they are
// adopted. The caller removes it.
func (s *Store) Desk() (string, error) {
	dir, err := os.MkdirTemp(filepath.Join(s.dir, arriving), "d-*")
	return dir, full(err)
}

// Adopt moves a finished file, made on a Desk of this store, under key, and flushes
// it and its name to the disk. A key that is taken is refused with Conflict.
func (s *Store) Adopt(key, file string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	from, err := filepath.Rel(s.dir, file)
	if err != nil || !strings.HasPrefix(filepath.ToSlash(from), arriving+"/") {
		return Info{}, fmt.Errorf("adopting %s: not on a desk of this store", file)
	}
	size, err := s.flush(from)
	if err != nil {
		return Info{}, full(err)
	}
	if err := s.rename(from, key); err != nil {
		return Info{}, full(err)
	}
	return Info{Key: key, Size: size}, s.flushFolders(path.Dir(key))
}

// flush brings a file to the disk, readable by its owner only, and returns its
// size.
func (s *Store) flush(name string) (int64, error) {
	f, err := s.root.OpenFile(name, os.O_RDWR, 0)
	if err != nil {
		return 0, err
	}
	stat, err := f.Stat()
	if err == nil && !stat.Mode().IsRegular() {
		err = fmt.Errorf("%s is not a file", name)
	}
	if err := errors.Join(err, f.Chmod(0o600), f.Sync(), f.Close()); err != nil {
		return 0, err
	}
	return stat.Size(), nil
}

// rename gives a file its key, if that is free.
func (s *Store) rename(from, key string) error {
	s.names.Lock()
	defer s.names.Unlock()
	if err := s.root.MkdirAll(path.Dir(key), 0o700); err != nil {
		return err
	}
	if _, err := s.root.Lstat(key); err == nil {
		return bullpen.Errorf(bullpen.Conflict, "There is a file %q already.", key)
	}
	return s.root.Rename(from, key)
}

// flushFolders brings a folder and those above it to the disk, so that a new name
// survives a power cut.
func (s *Store) flushFolders(dir string) error {
	for {
		if err := disk.FlushIn(s.root, dir); err != nil {
			return err
		}
		if dir == "." {
			return nil
		}
		dir = path.Dir(dir)
	}
}

// full says a full disk in words.
func full(err error) error {
	if disk.Full(err) {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The disk is full; make room and try again. Nothing was stored.", Err: err}
	}
	return err
}
