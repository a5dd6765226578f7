package blob

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// Open opens the file for reading at any place. A key without a file is NotFound.
func (s *Store) Open(key string) (*os.File, error) {
	if err := check(key); err != nil {
		return nil, err
	}
	f, err := s.root.Open(key)
	return f, missing(err)
}

// Stat returns what is known of a file. A key without a file is NotFound.
func (s *Store) Stat(key string) (Info, error) {
	if err := check(key); err != nil {
		return Info{}, err
	}
	stat, err := s.root.Stat(key)
	if err == nil && !stat.Mode().IsRegular() {
		err = fs.ErrNotExist
	}
	if err != nil {
		return Info{}, missing(err)
	}
	return Info{Key: key, Size: stat.Size()}, nil
}

// Free returns how many bytes the disk has left for us.
func (s *Store) Free() (int64, error) { return disk.Free(s.dir) }

// Sum returns a file's SHA-256 in hex.
func (s *Store) Sum(key string) (string, error) {
	f, err := s.Open(key)
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

// Path returns the file's path for a program that needs one, such as ffmpeg. It
// must only be read.
func (s *Store) Path(key string) (string, error) {
	if err := check(key); err != nil {
		return "", err
	}
	return filepath.Join(s.dir, filepath.FromSlash(key)), nil
}

// List returns every file under prefix, a key or part of one up to a slash, in the
// order of their keys; "" is all. What lies there and has no key's form is not
// ours and left out.
func (s *Store) List(prefix string) ([]Info, error) {
	from := "."
	if prefix != "" {
		if err := check(prefix); err != nil {
			return nil, err
		}
		from = prefix
	}
	var out []Info
	err := fs.WalkDir(s.root.FS(), from, func(name string, d fs.DirEntry, err error) error {
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil // it went while we looked
		case err != nil:
			return err
		case d.IsDir() && name == arriving:
			return fs.SkipDir
		case !d.Type().IsRegular() || check(name) != nil:
			return nil
		}
		stat, err := d.Info()
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err == nil {
			out = append(out, Info{Key: name, Size: stat.Size()})
		}
		return err
	})
	return out, err
}

// Usage returns how many files there are under prefix and how many bytes they
// take.
func (s *Store) Usage(prefix string) (files int, bytes int64, err error) {
	list, err := s.List(prefix)
	for _, f := range list {
		bytes += f.Size
	}
	return len(list), bytes, err
}

func missing(err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return &bullpen.Error{Code: bullpen.NotFound, Message: "That file is not here.", Err: err}
	}
	return err
}
