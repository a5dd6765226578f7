package main

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"tenoff/internal/disk"
)

// scratchName is what the folders begin with that scratch makes.
const scratchName = "tenoff-visit-"

// justMade is how long a folder of scratch's may be there before it is locked.
const justMade = time.Minute

// scratch makes a folder on this machine for what is under way while a command visits an
// academy, which goes with remove. Those of commands that were killed go first: copies of
// films may lie in them.
func scratch() (dir string, remove func() error, err error) {
	if err := sweepScratch(os.TempDir(), time.Now().Add(-justMade)); err != nil {
		return "", nil, err
	}
	if dir, err = os.MkdirTemp("", scratchName); err != nil {
		return "", nil, err
	}
	held, err := hold(dir)
	if err != nil {
		return "", nil, errors.Join(err, disk.RemoveAll(dir))
	}
	return dir, func() error { return removeHeld(held, dir) }, nil
}

// sweepScratch removes the folders of scratch's below temp that were made before a time and
// whose program is gone. Another user's are left alone, whatever lies in them: a folder for
// temporary files is everybody's.
func sweepScratch(temp string, before time.Time) error {
	found, err := os.ReadDir(temp)
	if errors.Is(err, fs.ErrNotExist) { // a container may have none
		return nil
	}
	if err != nil {
		return err
	}
	for _, e := range found {
		if ok, err := filepath.Match(scratchName+"*", e.Name()); err != nil || !ok || !e.IsDir() {
			continue
		}
		info, err := e.Info()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return err
		}
		if !owned(info) || info.ModTime().After(before) {
			continue
		}
		dir := filepath.Join(temp, e.Name())
		held, err := lock(dir, filepath.Join(dir, lockName)) // not hold, which would make it anew
		if err != nil {
			continue // its program is at work, or another sweeps
		}
		if err := removeHeld(held, dir); err != nil {
			return err
		}
	}
	return nil
}
