package main

import (
	"context"
	"errors"
	"flag"
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
)

// The exit codes, for scripts.
const (
	exitOK      = 0
	exitFailed  = 1
	exitUsage   = 2
	exitInstall = 3
)

// usageError is a call that makes no sense.
type usageError struct {
	sentence string
	told     bool // the flag package has printed it already
}

func (e usageError) Error() string { return e.sentence }

// installError says what has to be installed first.
type installError struct{ sentence string }

func (e installError) Error() string { return e.sentence }

// exit prints err as one sentence and returns the exit code that goes with it.
func exit(io streams, name string, err error) int {
	var wrong usageError
	var install installError
	var missing *proc.MissingError
	switch {
	case err == nil, errors.Is(err, flag.ErrHelp):
		return exitOK
	case errors.Is(err, context.Canceled):
		fmt.Fprintf(io.err, "tenoff %s: stopped before it was done\n", name)
		return exitFailed
	case errors.As(err, &wrong):
		if !wrong.told {
			fmt.Fprintf(io.err, "tenoff %s: %s\n", name, wrong.sentence)
		}
		return exitUsage
	case errors.As(err, &install):
		fmt.Fprintf(io.err, "tenoff %s: %s\n", name, install.sentence)
		return exitInstall
	case errors.As(err, &missing):
		fmt.Fprintf(io.err, "tenoff %s: %s\n", name, missing)
		return exitInstall
	}
	fmt.Fprintf(io.err, "tenoff %s: %s\n", name, sentenceOf(err))
	return exitFailed
}

// sentenceOf returns what a user may read of err: an error of the domain brings
// its own sentence, any other (a file that can't be opened, say) speaks for itself.
func sentenceOf(err error) string {
	var e *bullpen.Error
	if errors.As(err, &e) {
		return e.Message
	}
	return err.Error()
}
