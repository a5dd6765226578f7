package proc

import (
	"crypto/rand"
	"errors"
	"io"
	"os"
	"os/exec"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/sys/windows"
)

const pipeRoom = 1 << 16 // bytes on their way through a pipe

const pipeNames = `\\.\pipe\tenoff-`

// named are the names of the pipes that the program opens by one.
func (e *ends) named() (out []string) {
	for _, f := range e.ours {
		if strings.HasPrefix(f.Name(), pipeNames) {
			out = append(out, f.Name())
		}
	}
	return out
}

// hand gives the program a pipe. Windows hands on no file descriptors beyond the usual
// three: this is a named one, and its name takes the place of pipe:3, pipe:4, ... among
// the arguments. One connection is all it takes, from this machine.
func (e *ends) hand(cmd *exec.Cmd, p Pipe) error {
	fd := "pipe:" + strconv.Itoa(3+len(e.named()))
	at := slices.Index(cmd.Args, fd)
	if at < 0 {
		return errors.New("proc: no argument is " + fd)
	}
	name := pipeNames + rand.Text()
	path, err := windows.UTF16PtrFromString(name)
	if err != nil {
		return err
	}
	way := uint32(windows.PIPE_ACCESS_INBOUND)
	if p.Write != nil {
		way = windows.PIPE_ACCESS_OUTBOUND
	}
	h, err := windows.CreateNamedPipe(path, way|windows.FILE_FLAG_FIRST_PIPE_INSTANCE,
		windows.PIPE_TYPE_BYTE|windows.PIPE_WAIT|windows.PIPE_REJECT_REMOTE_CLIENTS, 1, pipeRoom, pipeRoom, 0, nil)
	if err != nil {
		return &os.PathError{Op: "make pipe", Path: name, Err: err}
	}
	cmd.Args[at] = name
	ours := os.NewFile(uintptr(h), name)
	e.ours = append(e.ours, ours)
	e.work = append(e.work, func() error {
		if err := windows.ConnectNamedPipe(h, nil); err != nil && !unread(err) && !errors.Is(err, windows.ERROR_PIPE_CONNECTED) {
			return &os.PathError{Op: "connect", Path: name, Err: err}
		}
		if p.Read != nil {
			return take(ours, p.Read)
		}
		return pour(ours, func(w io.Writer) error {
			if err := p.Write(w); err != nil {
				return err
			}
			return ours.Sync() // what is closed before it was read is lost
		})
	})
	return nil
}

// release ends the waiting for a program that ended without opening its pipes.
func (e *ends) release() {
	for _, name := range e.named() {
		for _, way := range []int{os.O_RDONLY, os.O_WRONLY} {
			if f, err := os.OpenFile(name, way, 0); err == nil {
				f.Close()
			}
		}
	}
}

// unread reports whether err, of a write, says that nobody reads any more.
func unread(err error) bool {
	return errors.Is(err, windows.ERROR_BROKEN_PIPE) || errors.Is(err, windows.ERROR_NO_DATA) || errors.Is(err, windows.ERROR_PIPE_NOT_CONNECTED)
}
