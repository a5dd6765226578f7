//go:build unix

package disk

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// Free returns how many bytes files in dir may still take.
func Free(dir string) (int64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return 0, err
	}
	return int64(uint64(s.Bavail) * uint64(s.Bsize)), nil
}

// Full reports whether err says that the disk, or what the user may take of it, is full.
func Full(err error) bool { return errors.Is(err, unix.ENOSPC) || errors.Is(err, unix.EDQUOT) }

func flush(dir *os.File) error { return dir.Sync() }

// unknown reports whether a file system does not know a way to remove: every one of
// these systems' does.
func unknown(error) bool { return false }

func removeClosed(_ *os.Root, _ string, err error) error { return err }
