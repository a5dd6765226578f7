package main

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"golang.org/x/sys/windows"

	"tenoff/internal/disk"
)

// lock locks a file in the folder. It is opened so that nobody can remove it while it
// is open; Windows lets go of it when the program ends.
func lock(_, file string) (io.Closer, error) {
	path, err := windows.UTF16PtrFromString(file)
	if err != nil {
		return nil, err
	}
	const share = windows.FILE_SHARE_READ | windows.FILE_SHARE_WRITE // and not FILE_SHARE_DELETE
	handle, err := windows.CreateFile(path, windows.GENERIC_READ|windows.GENERIC_WRITE, share, nil, windows.OPEN_ALWAYS, windows.FILE_ATTRIBUTE_NORMAL, 0)
	if err != nil {
		return nil, err
	}
	f := os.NewFile(uintptr(handle), file)
	err = windows.LockFileEx(handle, windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0, new(windows.Overlapped))
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) || errors.Is(err, windows.ERROR_IO_PENDING) {
		err = errInUse
	}
	if err != nil {
		return nil, errors.Join(err, f.Close())
	}
	return f, nil
}

// removeHeld lets go of a folder that is held, or of the file that it is held with, and removes
// it: Windows keeps an open file. Who began on it in between removes the rest.
func removeHeld(held io.Closer, name string) error {
	err := errors.Join(held.Close(), disk.RemoveAll(name))
	if !errors.Is(err, windows.ERROR_SHARING_VIOLATION) {
		return err
	}
	again, begun := lock(name, filepath.Join(name, lockName))
	switch {
	case errors.Is(begun, errInUse), errors.Is(begun, fs.ErrNotExist):
		return nil
	case begun == nil: // something else is open there
		err = errors.Join(err, again.Close())
	}
	return err
}

// owned reports whether a file is of the user who runs this program: the folder for temporary
// files is each user's own.
func owned(fs.FileInfo) bool { return true }
