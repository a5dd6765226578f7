//go:build unix

package proc

import (
	"syscall"
	"time"
)

// Own returns this process's own user and system time (getrusage, POSIX.1-2017), without
// that of the programs it has started; 0 where it can't be known.
func Own() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
