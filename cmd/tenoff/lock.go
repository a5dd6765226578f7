package main

import (
	"errors"
	"io"
	"os"
	"path/filepath"

	"tenoff/internal/backup"
	"tenoff/internal/bullpen"
)

// lockName is the file that says whether a program works on a data folder.
const lockName = "in-use"

// errInUse says that another program has the data folder.
var errInUse = bullpen.Errorf(bullpen.Unavailable, "Another tenoff works on this data folder; stop it first, or use the one that runs.")

// hold makes this program the one that works on a data folder, until what it returns
// is closed or the program ends, however it ends. It fails with errInUse when there is
// another, also where somebody has removed the lock's file meanwhile.
func hold(dir string) (io.Closer, error) {
	if dir == "" {
		return nil, usageError{sentence: "there is no home folder here; say where the data lies with --data"}
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	held, err := lock(dir, filepath.Join(dir, lockName))
	if err != nil && !errors.Is(err, errInUse) {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The data folder " + dir + " can't be written to; check that you may.", Err: err}
	}
	return held, err
}

// holdBackup makes this program the one that makes a backup in a folder, which is made if it
// is missing, until letGo is called.
func holdBackup(dir string) (letGo func(), err error) {
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be made; check that you may write there.", Err: err}
	}
	letGo, err = lockBackup(dir)
	if err != nil && !errors.Is(err, errInUse) {
		return nil, &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + dir + " can't be written to; check that you may.", Err: err}
	}
	if err != nil {
		return nil, bullpen.Errorf(bullpen.Unavailable, "Another tenoff makes a backup in %s, or works on it; wait until it has ended, or name another folder.", dir)
	}
	return letGo, nil
}

// keepBackup keeps a backup that is read as it is, until letGo is called. Where nothing can be
// locked, as on a disk that can only be read, it is taken as it lies there.
func keepBackup(dir string) (letGo func(), err error) {
	letGo, err = lockBackup(dir)
	switch {
	case errors.Is(err, errInUse):
		return nil, bullpen.Errorf(bullpen.Unavailable, "Another tenoff makes a backup in %s, or reads it; wait until it has ended.", dir)
	case err != nil:
		return func() {}, nil
	}
	return letGo, nil
}

func lockBackup(dir string) (letGo func(), err error) {
	file := filepath.Join(dir, backup.Lock)
	held, err := lock(dir, file)
	return func() { _ = removeHeld(held, file) }, err // an empty file more does no harm
}

// closers are closed together, the last first.
type closers []io.Closer

// Close closes all of them.
func (c closers) Close() error {
	var errs []error
	for i := len(c) - 1; i >= 0; i-- {
		errs = append(errs, c[i].Close())
	}
	return errors.Join(errs...)
}
