//go:build unix

package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"syscall"

	"tenoff/internal/disk"
)

// lock locks the folder itself and a file in it. The folder can't be taken away from
// under the data, the file can; but not every network's file system locks folders.
// The kernel lets go of both when the program ends.
func lock(dir, file string) (io.Closer, error) {
	folder, err := os.Open(dir)
	if err != nil {
		return nil, err
	}
	held := closers{folder}
	if err := flock(folder); errors.Is(err, errInUse) {
		return nil, errors.Join(err, held.Close())
	}
	f, err := lockFile(file)
	if err != nil {
		return nil, errors.Join(err, held.Close())
	}
	return append(held, f), nil
}

// lockFile locks a file, which is made if it is missing. What has its name is what is locked,
// also where another program lets go of it, and removes it, meanwhile.
func lockFile(name string) (*os.File, error) {
	for {
		f, err := os.OpenFile(name, os.O_RDWR|os.O_CREATE, 0o600)
		if err != nil {
			return nil, err
		}
		if err := flock(f); err != nil {
			return nil, errors.Join(err, f.Close())
		}
		mine, err := f.Stat()
		if err != nil {
			return nil, errors.Join(err, f.Close())
		}
		if named, err := os.Stat(name); err == nil && os.SameFile(mine, named) {
			return f, nil
		}
		if err := f.Close(); err != nil {
			return nil, err
		}
	}
}

// flock takes a lock that ends with the open file; one that another has is errInUse.
func flock(f *os.File) error {
	err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
	if errors.Is(err, syscall.EWOULDBLOCK) {
		return errInUse
	}
	return err
}

// removeHeld removes a folder that is held, or the file that it is held with, and lets go of
// it: nobody else begins on what is half gone.
func removeHeld(held io.Closer, name string) error {
	return errors.Join(disk.RemoveAll(name), held.Close())
}

// owned reports whether a file is of the user who runs this program.
func owned(info fs.FileInfo) bool {
	stat, ok := info.Sys().(*syscall.Stat_t)
	return ok && int(stat.Uid) == os.Geteuid()
}
