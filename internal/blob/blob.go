// Package blob keeps files under the data folder: originals, working copies and
// clips. A key names one file and what lies under it never changes; a file is
// either whole or not there.
package blob

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"

	"tenoff/internal/bullpen"
)

// Info is what is known of a file without opening it.
type Info struct {
	Key  string
	Size int64 // bytes
}

// Store is a folder of files by key. Its methods may be used by several
// goroutines.
type Store struct {
	dir  string
	root *os.Root
}

// arriving is where files are made before they get their key.
const arriving = "arriving"

var keyForm = regexp.MustCompile(`^[a-z0-9][a-z0-9_.-]*(/[a-z0-9][a-z0-9_.-]*)*$`)

// Open opens the store under dir, which is made if it is missing.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, arriving), 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be opened.", Err: err}
	}
	return &Store{dir: dir, root: root}, nil
}

// Close releases the folder.
func (s *Store) Close() error { return s.root.Close() }

func check(key string) error {
	if !keyForm.MatchString(key) || strings.HasPrefix(key, arriving+"/") {
		return bullpen.Errorf(bullpen.Invalid, "There can be no file called %q.", key)
	}
	return nil
}

// Path returns the file's path for a program that needs one, such as ffmpeg. It
// must only be read.
func (s *Store) Path(key string) (string, error) {
	if err := check(key); err != nil {
		return "", err
	}
	return filepath.Join(s.dir, filepath.FromSlash(key)), nil
}

// Desk makes a new empty folder in which files can be made before they are
// adopted. The caller removes it.
func (s *Store) Desk() (string, error) {
	dir, err := os.MkdirTemp(filepath.Join(s.dir, arriving), "d-*")
	if err != nil {
		return "", spaceError(err)
	}
	return dir, nil
}

// Put stores what r gives under key, whole or not at all: into a file of its own,
// flushed to the disk, then renamed. It stops when ctx ends. A key that is taken
// is refused with Conflict.
func (s *Store) Put(ctx context.Context, key string, r io.Reader) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	dir, err := s.Desk()
	if err != nil {
		return Info{}, err
	}
	defer os.RemoveAll(dir)
	name := filepath.Join(dir, "file")
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return Info{}, spaceError(err)
	}
	_, err = io.Copy(f, reader{ctx, r})
	if err := errors.Join(err, f.Close()); err != nil {
		return Info{}, spaceError(err)
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

// Adopt moves a finished file, made in a Desk of this store, under key.
func (s *Store) Adopt(key, file string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	rel, err := filepath.Rel(s.dir, file)
	if err != nil || !strings.HasPrefix(filepath.ToSlash(rel), arriving+"/") {
		return Info{}, fmt.Errorf("adopting %s: not on a desk of this store", file)
	}
	f, err := s.root.OpenFile(rel, os.O_RDWR, 0)
	if err != nil {
		return Info{}, err
	}
	stat, err := f.Stat()
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return Info{}, spaceError(err)
	}
	if err := s.root.MkdirAll(path.Dir(key), 0o700); err != nil {
		return Info{}, spaceError(err)
	}
	if _, err := s.root.Lstat(key); err == nil {
		return Info{}, bullpen.Errorf(bullpen.Conflict, "There is a file %q already.", key)
	}
	if err := s.root.Rename(rel, key); err != nil {
		return Info{}, spaceError(err)
	}
	return Info{Key: key, Size: stat.Size()}, s.syncDirs(path.Dir(key))
}

// syncDirs flushes a folder and those above it, so that a new name survives a
// power cut.
func (s *Store) syncDirs(dir string) error {
	for {
		f, err := s.root.Open(dir)
		if err != nil {
			return err
		}
		if err := errors.Join(f.Sync(), f.Close()); err != nil {
			return err
		}
		if dir == "." {
			return nil
		}
		dir = path.Dir(dir)
	}
}

// Open opens the file for reading at any place.
func (s *Store) Open(key string) (*os.File, error) {
	if err := check(key); err != nil {
		return nil, err
	}
	f, err := s.root.Open(key)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, &bullpen.Error{Code: bullpen.NotFound, Message: "That file is not here.", Err: err}
	}
	return f, err
}

// Stat returns the file's size.
func (s *Store) Stat(key string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	stat, err := s.root.Stat(key)
	if errors.Is(err, fs.ErrNotExist) {
		return Info{}, &bullpen.Error{Code: bullpen.NotFound, Message: "That file is not here.", Err: err}
	}
	if err != nil {
		return Info{}, err
	}
	return Info{Key: key, Size: stat.Size()}, nil
}

// Delete removes one file; one that is not there is no error.
func (s *Store) Delete(key string) error {
	if err := check(key); err != nil {
		return err
	}
	if err := s.root.Remove(key); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// DeleteTree removes every file under prefix and says how many bytes they held.
func (s *Store) DeleteTree(prefix string) (int64, error) {
	files, err := s.List(prefix)
	if err != nil {
		return 0, err
	}
	var bytes int64
	for _, f := range files {
		bytes += f.Size
	}
	return bytes, s.root.RemoveAll(prefix)
}

// List returns every file under prefix, "" for all, in the order of their keys.
func (s *Store) List(prefix string) ([]Info, error) {
	from := "."
	if prefix != "" {
		if err := check(prefix); err != nil {
			return nil, err
		}
		from = prefix
	}
	var out []Info
	err := fs.WalkDir(s.root.FS(), from, func(p string, d fs.DirEntry, err error) error {
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err != nil {
			return err
		}
		if d.IsDir() {
			if p == arriving {
				return fs.SkipDir
			}
			return nil
		}
		stat, err := d.Info()
		if err != nil {
			return err
		}
		if keyForm.MatchString(p) {
			out = append(out, Info{Key: p, Size: stat.Size()})
		}
		return nil
	})
	return out, err
}

// Sweep removes what a crash left half made. Call it before anything arrives.
func (s *Store) Sweep() error {
	if err := s.root.RemoveAll(arriving); err != nil {
		return err
	}
	return s.root.Mkdir(arriving, 0o700)
}

// Free returns how many bytes the disk has left for us.
func (s *Store) Free() (int64, error) {
	var stat syscall.Statfs_t
	if err := syscall.Statfs(s.dir, &stat); err != nil {
		return 0, err
	}
	return int64(stat.Bavail) * stat.Bsize, nil
}

// spaceError says a full disk in words.
func spaceError(err error) error {
	if errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The disk is full; make room and try again. Nothing was stored.", Err: err}
	}
	return err
}
