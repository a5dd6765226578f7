package proc

import (
	"errors"
	"fmt"
	"strings"
	"time"
)

// MissingError says that a program is not on this machine. Its text may be shown
// to a user.
type MissingError struct {
	Name string
	Hint string // how it is installed, as Install says
}

func (e *MissingError) Error() string {
	return fmt.Sprintf("%s is not installed on this machine: install it with %s and try again.", e.Name, e.Hint)
}

// ExitError says that a program ended badly. Its text is for the log.
type ExitError struct {
	Name   string
	Code   int    // -1 when a signal ended it
	State  string // "exit status 1", "signal: killed"
	Stderr string // the end of what it said
}

func (e *ExitError) Error() string {
	last := strings.TrimSpace(e.Stderr)
	if i := strings.LastIndexByte(last, '\n'); i >= 0 {
		last = last[i+1:]
	}
	return fmt.Sprintf("%s: %s: %s", e.Name, e.State, last)
}

// LimitError says that a program was stopped because it took too long.
type LimitError struct {
	Name  string
	Limit time.Duration
}

func (e *LimitError) Error() string {
	return fmt.Sprintf("%s was stopped after %v", e.Name, e.Limit)
}

// Said reports whether err comes from a program that said words on its standard
// error.
func Said(err error, words string) bool {
	exit, ok := errors.AsType[*ExitError](err)
	return ok && strings.Contains(exit.Stderr, words)
}
