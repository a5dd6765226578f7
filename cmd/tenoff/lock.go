package main

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"

	"tenoff/internal/bullpen"
)

// lockName is the file that says which program works on a data folder.
const lockName = "in-use"

// errInUse says that another program has the data folder.
var errInUse = errors.New("in use")

// lock makes this program the one that works on a data folder, until it is closed
// or ends, however it ends. It fails with errInUse when there is another.
func lock(dir string) (*os.File, error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be written to; check that you may.", Err: err}
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		return nil, errInUse
	}
	return f, nil
}
