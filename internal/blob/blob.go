// Package blob keeps files by key: originals, working copies and clips. What lies under
// a key never changes; a file is either whole or not there. They lie in a folder, or in
// a bucket of an object storage that several machines reach.
package blob

import (
	"context"
	"crypto/sha256"
	"encoding"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// Folder is what the folder of files is called inside a data folder.
const Folder = "files"

// Info is what is known of a file without opening it.
type Info struct {
	Key  string
	Size int64 // bytes
}

// File is a file that is open for reading, at any place. It is read in the context that it
// was opened with.
type File interface {
	io.ReadSeekCloser
	io.ReaderAt
	Size() int64 // bytes
}

// Store keeps files by key. Its methods may be used by several goroutines.
type Store struct{ engine }

// engine is a place where files lie. Keys that it is given have a key's form.
type engine interface {
	desk() (string, error)
	adopt(ctx context.Context, key, file, sum string) (Info, error)
	open(ctx context.Context, key string) (File, error)
	stat(ctx context.Context, key string) (Info, error)
	local(ctx context.Context, key string) (path string, done func(), err error)
	copy(ctx context.Context, from, to string) (Info, error)
	list(ctx context.Context, prefix string) ([]Info, error)
	delete(ctx context.Context, key string) error
	// Sweep removes what a program that ended without warning left half made. Call it
	// before anything arrives.
	Sweep(ctx context.Context) error
	// SweepOld is Sweep where other programs are at work: what was written to since a time
	// may be theirs, and stays.
	SweepOld(ctx context.Context, before time.Time) error
	// Ready fails when files can't be read and written now, with a sentence that says why.
	Ready(ctx context.Context) error
	// Free returns how many bytes the disk has left that files are made on.
	Free() (int64, error)
	// Close releases what is open.
	Close() error
}

// A key is made of parts like those of a path, each of small letters, digits,
// points, dashes and underscores.
var keyForm = regexp.MustCompile(`^[a-z0-9][a-z0-9_.-]*(/[a-z0-9][a-z0-9_.-]*)*$`)

const longestKey = 240 // bytes; most file systems end at 255 a name

// check refuses what is no key.
func check(key string) error {
	if len(key) > longestKey || !keyForm.MatchString(key) || key == arriving || strings.HasPrefix(key, arriving+"/") {
		return bullpen.Errorf(bullpen.Invalid, "There can be no file called %q.", key)
	}
	return nil
}

// Put stores what r gives under key, whole or not at all. It stops when ctx ends. A key
// that is taken is refused with Conflict.
func (s *Store) Put(ctx context.Context, key string, r io.Reader) (Info, error) {
	return s.put(ctx, key, r, func() error { return nil })
}

// Replace is Put also where something lies under key that is not what it should be: that stays
// until all that r gives is on this machine's disk.
func (s *Store) Replace(ctx context.Context, key string, r io.Reader) (Info, error) {
	return s.put(ctx, key, r, func() error { return s.Delete(ctx, key) })
}

// put is Put that does something once r is read to its end.
func (s *Store) put(ctx context.Context, key string, r io.Reader, read func() error) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	desk, err := s.TempDir()
	if err != nil {
		return Info{}, err
	}
	defer disk.RemoveAll(desk)
	name := filepath.Join(desk, "file")
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return Info{}, full(err)
	}
	sum := sha256.New()
	_, err = io.Copy(io.MultiWriter(f, sum), reader{ctx, r})
	if err := errors.Join(err, f.Close()); err != nil {
		return Info{}, full(err)
	}
	if err := read(); err != nil {
		return Info{}, err
	}
	return s.Adopt(ctx, key, name, hex.EncodeToString(sum.Sum(nil)))
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

// TempDir makes a new empty folder on this machine in which files can be made before they
// are adopted. The caller removes it.
func (s *Store) TempDir() (string, error) { return s.desk() }

// Adopt takes a finished file, made in a TempDir of this store, in under key; when it returns,
// the file is safe. sum is its SHA-256 in hex where it is known, else "": an object storage
// that got something else is not left with it. The file may be gone from the desk
// afterwards. A key that is taken is refused with Conflict.
func (s *Store) Adopt(ctx context.Context, key, file, sum string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	return s.adopt(ctx, key, file, sum)
}

// Open opens the file for reading at any place. A key without a file is NotFound.
func (s *Store) Open(ctx context.Context, key string) (File, error) {
	if err := check(key); err != nil {
		return nil, err
	}
	return s.open(ctx, key)
}

// Stat returns what is known of a file. A key without a file is NotFound.
func (s *Store) Stat(ctx context.Context, key string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	return s.stat(ctx, key)
}

// Local returns the path of the file, or of a copy, on this machine, for a program that
// needs one, such as ffmpeg. It must only be read, and stays until done is called, which
// is never nil.
func (s *Store) Local(ctx context.Context, key string) (path string, done func(), err error) {
	if err := check(key); err != nil {
		return "", func() {}, err
	}
	return s.local(ctx, key)
}

// Copy puts what lies under one key under another too, without carrying it through this
// machine. A key without a file is NotFound, one that is taken Conflict.
func (s *Store) Copy(ctx context.Context, from, to string) (Info, error) {
	if err := errors.Join(check(from), check(to)); err != nil {
		return Info{}, err
	}
	return s.copy(ctx, from, to)
}

// Load reads a file whole into what knows how its bytes are packed.
func (s *Store) Load(ctx context.Context, key string, into encoding.BinaryUnmarshaler) error {
	f, err := s.Open(ctx, key)
	if err != nil {
		return err
	}
	defer f.Close()
	data, err := io.ReadAll(f)
	if err != nil {
		return err
	}
	return into.UnmarshalBinary(data)
}

// Sum returns a file's SHA-256 in hex.
func (s *Store) Sum(ctx context.Context, key string) (string, error) {
	f, err := s.Open(ctx, key)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	if _, err := io.Copy(sum, f); err != nil {
		return "", err
	}
	return hex.EncodeToString(sum.Sum(nil)), nil
}

// List returns every file under prefix, a key or part of one up to a slash, in the
// order of their keys; "" is all. What lies there and has no key's form is not
// ours and left out.
func (s *Store) List(ctx context.Context, prefix string) ([]Info, error) {
	if prefix != "" {
		if err := check(prefix); err != nil {
			return nil, err
		}
	}
	return s.list(ctx, prefix)
}

// Usage returns how many files there are under prefix and how many bytes they
// take.
func (s *Store) Usage(ctx context.Context, prefix string) (files int, bytes int64, err error) {
	list, err := s.List(ctx, prefix)
	for _, f := range list {
		bytes += f.Size
	}
	return len(list), bytes, err
}

// Delete removes one file; one that is not there is no error.
func (s *Store) Delete(ctx context.Context, key string) error {
	if err := check(key); err != nil {
		return err
	}
	return s.delete(ctx, key)
}

// full says a full disk in words.
func full(err error) error {
	if disk.Full(err) {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The disk is full; make room and try again. Nothing was stored.", Err: err}
	}
	return err
}
