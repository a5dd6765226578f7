package film

import (
	"context"
	"errors"
	"fmt"
	"syscall"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
)

// refused returns the error of a film that can't be used: one sentence that calls
// it name, of which %s is the format's first verb.
func refused(name, format string, args ...any) *bullpen.Error {
	return bullpen.Errorf(bullpen.Refused, "“%s” "+format, append([]any{name}, args...)...)
}

// because attaches the cause, for the log.
func because(e *bullpen.Error, err error) *bullpen.Error {
	e.Err = err
	return e
}

// noRoom is the error of a full disk.
func noRoom(name string, err error) *bullpen.Error {
	e := bullpen.Errorf(bullpen.Unavailable, "The disk is full, so “%s” could not be read: make room and try again.", name)
	return because(e, err)
}

// blame says in one sentence why a program that was at work on the film name
// failed.
func blame(ctx context.Context, name string, err error) error {
	if cause := context.Cause(ctx); cause != nil {
		return cause
	}
	if e, ok := errors.AsType[*bullpen.Error](err); ok {
		return e
	}
	if missing, ok := errors.AsType[*proc.MissingError](err); ok {
		return because(bullpen.Errorf(bullpen.Unavailable, "“%s” could not be read: %s", name, missing.Error()), err)
	}
	if errors.Is(err, syscall.ENOSPC) || proc.Said(err, "No space left on device") {
		return noRoom(name, err)
	}
	if limit, ok := errors.AsType[*proc.LimitError](err); ok {
		return because(refused(name, "was given up after %.0f minutes: cut it into shorter films and send those.", limit.Limit.Minutes()), err)
	}
	if exit, ok := errors.AsType[*proc.ExitError](err); ok {
		if exit.Code < 0 {
			return fmt.Errorf("film %q: %w", name, err) // a signal: not the film's fault, as far as is known
		}
		return because(refused(name, "is damaged: its pictures can't be decoded. Copy it from the phone again."), err)
	}
	return fmt.Errorf("film %q: %w", name, err)
}
