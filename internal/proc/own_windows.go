package proc

import (
	"time"

	"golang.org/x/sys/windows"
)

// Own returns this process's own user and system time, without that of the programs it
// has started; 0 where it can't be known.
func Own() time.Duration {
	var created, exited, kernel, user windows.Filetime
	if err := windows.GetProcessTimes(windows.CurrentProcess(), &created, &exited, &kernel, &user); err != nil {
		return 0
	}
	return ticks(kernel) + ticks(user)
}

// ticks is a span of time, which Windows counts in 100 ns.
func ticks(t windows.Filetime) time.Duration {
	return time.Duration(int64(t.HighDateTime)<<32|int64(t.LowDateTime)) * 100
}
