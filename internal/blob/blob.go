// Package blob keeps files under the data folder: originals, working copies and
// clips. A key names one file, and what lies under it never changes; a file is
// either whole or not there.
package blob

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"

	"tenoff/internal/bullpen"
)

// Folder is what the folder of files is called inside a data folder.
const Folder = "files"

// Info is what is known of a file without opening it.
type Info struct {
	Key  string
	Size int64 // bytes
}

// Store is a folder of files by key. Its methods may be used by several
// goroutines. Nothing outside the folder can be reached through it, not even by a
// link that lies inside (os.Root).
type Store struct {
	dir  string
	root *os.Root
	// names is held while names come and go, so that an empty folder is not removed
	// while a file is on its way into it.
	names sync.Mutex
}

// arriving is where files are made before they get their key.
const arriving = "arriving"

// A key is made of parts like those of a path, each of small letters, digits,
// points, dashes and underscores.
var keyForm = regexp.MustCompile(`^[a-z0-9][a-z0-9_.-]*(/[a-z0-9][a-z0-9_.-]*)*$`)

const longestKey = 240 // bytes; most file systems end at 255 a name

// Open opens the store under dir, which is made if it is missing.
func Open(dir string) (*Store, error) {
	if err := os.MkdirAll(filepath.Join(dir, arriving), 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	return Read(dir)
}

// Read opens the store under dir as it is, for reading.
func Read(dir string) (*Store, error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be opened.", Err: err}
	}
	return &Store{dir: dir, root: root}, nil
}

// Close releases the folder.
func (s *Store) Close() error { return s.root.Close() }

// check refuses what is no key.
func check(key string) error {
	if len(key) > longestKey || !keyForm.MatchString(key) || key == arriving || strings.HasPrefix(key, arriving+"/") {
		return bullpen.Errorf(bullpen.Invalid, "There can be no file called %q.", key)
	}
	return nil
}
