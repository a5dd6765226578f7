// Package disk does what systems and their file systems do differently: how much room
// is left, whether a disk is full, that a name survives a power cut, and removal.
package disk

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"path/filepath"
)

// Flush brings the names in a folder to the disk, so that they survive a power cut.
func Flush(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(flush(f), f.Close())
}

// FlushIn is Flush for a folder below root.
func FlushIn(root *os.Root, dir string) error {
	f, err := root.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(flush(f), f.Close())
}

// RemoveAll removes path and what lies in it, as os.RemoveAll does, also on file
// systems that don't know how it asks.
func RemoveAll(name string) error {
	err := os.RemoveAll(name)
	if !unknown(err) {
		return err
	}
	root, err := os.OpenRoot(filepath.Dir(name))
	if err != nil {
		return err
	}
	return errors.Join(clear(root, filepath.Base(name)), root.Close())
}

// RemoveIn removes a file or an empty folder below root, as root.Remove does, also on
// file systems that don't know how it asks.
func RemoveIn(root *os.Root, name string) error {
	err := root.Remove(name)
	if unknown(err) {
		return removeClosed(root, name, err)
	}
	return err
}

// RemoveAllIn is RemoveAll for what lies below root.
func RemoveAllIn(root *os.Root, name string) error {
	err := root.RemoveAll(name)
	if unknown(err) {
		return clear(root, name)
	}
	return err
}

// clear removes a file, or a folder with what lies in it, one by one.
func clear(root *os.Root, name string) error {
	info, err := root.Lstat(name)
	if err == nil && info.IsDir() {
		var list []fs.DirEntry
		if list, err = fs.ReadDir(root.FS(), filepath.ToSlash(name)); err == nil {
			for _, e := range list {
				err = errors.Join(err, clear(root, path.Join(filepath.ToSlash(name), e.Name())))
			}
		}
	}
	if err == nil {
		err = RemoveIn(root, name)
	}
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}
