package disk

import (
	"errors"
	"math"
	"os"
	"syscall"

	"golang.org/x/sys/windows"
)

// Free returns how many bytes files in dir may still take.
func Free(dir string) (int64, error) {
	path, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, err
	}
	var free uint64
	if err := windows.GetDiskFreeSpaceEx(path, &free, nil, nil); err != nil {
		return 0, &os.PathError{Op: "free space", Path: dir, Err: err}
	}
	return int64(min(free, math.MaxInt64)), nil
}

// Full reports whether err says that the disk, or what the user may take of it, is full.
func Full(err error) bool {
	for _, full := range []error{windows.ERROR_DISK_FULL, windows.ERROR_HANDLE_DISK_FULL, windows.ERROR_DISK_QUOTA_EXCEEDED, syscall.ENOSPC} {
		if errors.Is(err, full) {
			return true
		}
	}
	return false
}

// flush does nothing: Windows refuses to flush a folder that was opened to be read, and
// NTFS keeps a journal of names. SQLite flushes no folder there either.
func flush(*os.File) error { return nil }

// unknown reports whether a file system does not know the way in which Go removes
// (FileDispositionInformationEx): Go tries the older one after some of the answers that
// mean it, and not after this.
func unknown(err error) bool { return errors.Is(err, windows.ERROR_INVALID_FUNCTION) }

// removeClosed removes a file or an empty folder below root by opening it so that it
// goes when it is closed. Links stay: err is returned for them.
func removeClosed(root *os.Root, name string, err error) error {
	info, missing := root.Lstat(name)
	if missing != nil {
		return missing
	}
	if !info.IsDir() && !info.Mode().IsRegular() {
		return err
	}
	const going = windows.FILE_FLAG_DELETE_ON_CLOSE | windows.FILE_FLAG_OPEN_REPARSE_POINT | windows.FILE_FLAG_BACKUP_SEMANTICS
	f, err := root.OpenFile(name, os.O_RDONLY|going, 0)
	if err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	// A file that somebody has open goes when they close it; a folder that is not empty
	// stays without a word.
	if _, err := root.Lstat(name); err == nil && info.IsDir() {
		return &os.PathError{Op: "remove", Path: name, Err: windows.ERROR_DIR_NOT_EMPTY}
	}
	return nil
}
