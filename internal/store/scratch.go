package store

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// OpenScratch is Open for data that nobody will miss, as that of tests and benchmarks:
// a new database begins as a copy of one that this program has migrated once, and
// nothing waits for the disk. A kill of the program loses nothing; a power cut would.
func OpenScratch(ctx context.Context, dir string) (*Store, error) {
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	path := filepath.Join(dir, Database)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		empty, err := migrated()
		if err != nil {
			return nil, err
		}
		if err := os.WriteFile(path, empty, 0o600); err != nil {
			return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be written to.", Err: err}
		}
	}
	return open(ctx, dir, steps, "OFF", time.Now)
}

// migrated returns a database of the newest schema with nothing in it.
var migrated = sync.OnceValues(func() (_ []byte, err error) {
	dir, err := os.MkdirTemp("", "tenoff-scratch-")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, disk.RemoveAll(dir)) }()
	steps, err := steps()
	if err != nil {
		return nil, err
	}
	path := filepath.Join(dir, Database)
	s := onFile(dir, time.Now)
	if s.write, err = writer(path, "OFF"); err != nil {
		return nil, err
	}
	if err := errors.Join(s.migrate(context.Background(), steps, s.keep), s.Close()); err != nil {
		return nil, err
	}
	return os.ReadFile(path)
})
