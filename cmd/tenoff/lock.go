package main

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"

	"tenoff/internal/bullpen"
)

// lockName is the file that says whether a program works on a data folder.
const lockName = "in-use"

// errInUse says that another program has the data folder.
var errInUse = bullpen.Errorf(bullpen.Unavailable, "Another tenoff works on this data folder; stop it first, or use the one that runs.")

// hold makes this program the one that works on a data folder, until the file is
// closed or the program ends, however it ends. It fails with errInUse when there is
// another.
func hold(dir string) (*os.File, error) {
	if dir == "" {
		return nil, usageError{sentence: "there is no home folder here; say where the data lies with --data"}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	f, err := os.OpenFile(filepath.Join(dir, lockName), os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be written to; check that you may.", Err: err}
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		return nil, errors.Join(errInUse, f.Close())
	}
	return f, nil
}
