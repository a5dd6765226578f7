package blob

import (
	"errors"
	"io/fs"
	"path"
	"time"

	"tenoff/internal/disk"
)

// Delete removes one file, and the folders that it leaves empty; a file that is
// not there is no error.
func (s *Store) Delete(key string) error {
	if err := check(key); err != nil {
		return err
	}
	s.names.Lock()
	defer s.names.Unlock()
	if err := disk.RemoveIn(s.root, key); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	s.prune(path.Dir(key))
	return nil
}

// DeleteTree removes every file under prefix, which is not "", and returns how many
// bytes they took.
func (s *Store) DeleteTree(prefix string) (bytes int64, err error) {
	if err := check(prefix); err != nil {
		return 0, err
	}
	if _, bytes, err = s.Usage(prefix); err != nil {
		return 0, err
	}
	s.names.Lock()
	defer s.names.Unlock()
	if err := disk.RemoveAllIn(s.root, prefix); err != nil {
		return 0, err
	}
	s.prune(path.Dir(prefix))
	return bytes, nil
}

// prune removes a folder and those above it as far as they are empty.
func (s *Store) prune(dir string) {
	for ; dir != "."; dir = path.Dir(dir) {
		if disk.RemoveIn(s.root, dir) != nil {
			return // the first that is not empty
		}
	}
}

// SweepOld is Sweep where other programs are at work in the folder: what was written to since
// a time may be theirs, and stays.
func (s *Store) SweepOld(before time.Time) error {
	left, err := fs.ReadDir(s.root.FS(), arriving)
	if err != nil {
		return err
	}
	var errs []error
	for _, e := range left {
		info, err := e.Info()
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			errs = append(errs, err)
		case info.ModTime().Before(before):
			errs = append(errs, disk.RemoveAllIn(s.root, path.Join(arriving, e.Name())))
		}
	}
	return errors.Join(errs...)
}

// Sweep removes what a program that ended without warning left half made. Call it
// before anything arrives.
func (s *Store) Sweep() error {
	if err := disk.RemoveAllIn(s.root, arriving); err != nil {
		return err
	}
	return s.root.Mkdir(arriving, 0o700)
}
