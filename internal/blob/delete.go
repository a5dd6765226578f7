package blob

import (
	"errors"
	"io/fs"
	"path"

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

// Sweep removes what a program that ended without warning left half made. Call it
// before anything arrives.
func (s *Store) Sweep() error {
	if err := disk.RemoveAllIn(s.root, arriving); err != nil {
		return err
	}
	return s.root.Mkdir(arriving, 0o700)
}
