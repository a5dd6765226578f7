//go:build unix

package main

import (
	"errors"
	"path/filepath"
	"sync"
	"sync/atomic"
	"testing"
)

// Where a folder can't be locked its file alone has to do: nobody gets one that another has
// removed.
func TestTheFileAloneLocks(t *testing.T) {
	name := filepath.Join(t.TempDir(), "lock")
	var inside, times atomic.Int32
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range 2000 {
				held, err := lockFile(name)
				if errors.Is(err, errInUse) {
					continue
				}
				if err != nil {
					t.Error(err)
					return
				}
				times.Add(1)
				if n := inside.Add(1); n != 1 {
					t.Errorf("%d hold it", n)
				}
				inside.Add(-1)
				if err := removeHeld(held, name); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if times.Load() == 0 {
		t.Error("nobody held it")
	}
}
