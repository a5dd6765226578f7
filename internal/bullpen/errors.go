package bullpen

import (
	"errors"
	"fmt"
	"slices"
)

// Code classes an error by what the caller can do about it.
type Code string

// The error codes.
const (
	Invalid     Code = "invalid"     // what was asked makes no sense; the message says why
	NotFound    Code = "not found"   // no such thing
	Conflict    Code = "conflict"    // somebody else changed it first
	Refused     Code = "refused"     // a film that can't be used
	Unavailable Code = "unavailable" // try again, or install what is missing
	Internal    Code = "internal"    // our fault
)

// ErrAway is in the cause of an error that says that what everything is kept in does not
// answer: whoever can wait tries again for as long as that lasts.
var ErrAway = errors.New("away")

// Error is an error a user may read: Message is one clear sentence that says what
// happened, to what, and what to do.
type Error struct {
	Code    Code
	Message string
	Err     error // the cause, for the log only
}

func (e *Error) Error() string {
	if e.Err != nil {
		return e.Message + ": " + e.Err.Error()
	}
	return e.Message
}

func (e *Error) Unwrap() error { return e.Err }

// longestNamed is how many letters of a text a message repeats.
const longestNamed = 300

// Errorf returns an Error with a formatted message. Of a long text among args only the
// beginning is repeated: a sentence stays one, whatever was sent.
func Errorf(code Code, format string, args ...any) *Error {
	for i, a := range args {
		if text, ok := a.(string); ok && len(text) > longestNamed {
			args = slices.Clone(args)
			args[i] = Shortened(text, longestNamed)
		}
	}
	return &Error{Code: code, Message: fmt.Sprintf(format, args...)}
}

// Shortened returns the first letters of a text, at most so many, and says by an
// ellipsis that there is more.
func Shortened(text string, letters int) string {
	for at := range text {
		if letters == 0 {
			return text[:at] + "…"
		}
		letters--
	}
	return text
}

// CodeOf returns err's code, Internal for an error that has none, "" for nil.
func CodeOf(err error) Code {
	if err == nil {
		return ""
	}
	var e *Error
	if errors.As(err, &e) {
		return e.Code
	}
	return Internal
}

// MessageOf returns what may be shown to a user of err.
func MessageOf(err error) string {
	var e *Error
	if errors.As(err, &e) {
		return e.Message
	}
	return "Something went wrong on our side; the log has the details."
}
