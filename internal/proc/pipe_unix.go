//go:build unix

package proc

import (
	"errors"
	"os"
	"os/exec"
	"syscall"
)

// hand gives the program a pipe as its next file descriptor.
func (e *ends) hand(cmd *exec.Cmd, p Pipe) (err error) {
	var far *os.File
	if p.Read != nil {
		far, err = e.drain(p.Read)
	} else {
		far, err = e.feed(p.Write)
	}
	if err == nil {
		cmd.ExtraFiles = append(cmd.ExtraFiles, far)
	}
	return err
}

// release has nothing to do: the program has its pipes from its start.
func (e *ends) release() {}

// unread reports whether err, of a write, says that nobody reads any more.
func unread(err error) bool { return errors.Is(err, syscall.EPIPE) }
