package film

import (
	"context"
	"errors"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
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

// damaged is the error of a film whose pictures can't be decoded.
func damaged(name string, err error) *bullpen.Error {
	return because(refused(name, "is damaged: its pictures can't be decoded. Copy it from the phone again."), err)
}

// kept returns the error of a film that could not be read for a reason that does
// not lie in it, so that its original stays: why ends the sentence.
func kept(name string, err error, why string, args ...any) *bullpen.Error {
	e := bullpen.Errorf(bullpen.Unavailable, "“%s” could not be read: "+why, append([]any{name}, args...)...)
	return because(e, err)
}

// blame says in one sentence why a program that was at work on the film name
// failed. It never refuses the film: what is wrong with a film only the film can
// show, see corrupt and examine.
func blame(ctx context.Context, name string, err error) error {
	if cause := context.Cause(ctx); cause != nil {
		return cause
	}
	if e, ok := errors.AsType[*bullpen.Error](err); ok {
		return e
	}
	if missing, ok := errors.AsType[*proc.MissingError](err); ok {
		return kept(name, err, "%s", missing.Error())
	}
	if limit, ok := errors.AsType[*proc.LimitError](err); ok {
		return kept(name, err, "it took longer than %.0f minutes. Try again when this machine has less to do, or cut it into shorter films and send those.",
			limit.Limit.Minutes())
	}
	exit, ok := errors.AsType[*proc.ExitError](err)
	switch {
	case disk.Full(err) || proc.Said(err, full):
		return noRoom(name, err)
	case !ok:
		return because(bullpen.Errorf(bullpen.Internal, "“%s” could not be read: something went wrong on our side, and the log has the details. Try again.", name), err)
	case exit.Code < 0 || exit.Code == interrupted:
		return kept(name, err, "%s was ended from outside. Try again.", exit.Name)
	}
	if why := machine(exit.Stderr); why != "" {
		return kept(name, err, "%s. Try again.", why)
	}
	if what := lacking(exit.Stderr); what != "" {
		return kept(name, err, "this ffmpeg was built without %s. Install the full one with %s and try again.", what, proc.Install("ffmpeg"))
	}
	return kept(name, err, "%s failed, and the log says how. Try again, and if it fails again send it as MP4 (H.264).", exit.Name)
}
