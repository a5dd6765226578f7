package proc

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"runtime"
	"sync"
	"time"
)

// Run runs c to its end and returns what is known of it; the result's Stderr and
// times are set after an error too. The error is
//
//   - a *MissingError when the program is not on this machine,
//   - ctx's cause when ctx ended first, a *LimitError when the time limit did: the
//     program's process group was asked to end, and killed when it did not,
//   - the error of the pipe function that failed,
//   - an *ExitError when the program ended with another status than 0.
//
// When Run returns the program has ended and all pipe functions have returned.
func Run(ctx context.Context, c Cmd) (Result, error) {
	path, err := Find(c.Name)
	if err != nil {
		return Result{}, err
	}
	if err := context.Cause(ctx); err != nil {
		return Result{}, err
	}
	runtime.LockOSThread() // see dieWithParent
	defer runtime.UnlockOSThread()

	limit := cmp.Or(c.Limit, DefaultLimit)
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	timer := time.AfterFunc(limit, func() { stop(&LimitError{Name: c.Name, Limit: limit}) })
	defer timer.Stop()

	cmd := exec.Command(path, c.Args...)
	cmd.Dir = c.Dir
	cmd.Env = append(os.Environ(), append([]string{"AV_LOG_FORCE_NOCOLOR=1"}, c.Env...)...)
	isolate(cmd)
	var result Result
	ends, err := c.connect(cmd, &result)
	if err != nil {
		return result, err
	}
	start := time.Now()
	err = cmd.Start()
	ends.closeTheirs()
	if err != nil {
		ends.closeOurs()
		return result, err
	}
	tie(cmd.Process)
	if c.Nice {
		giveWay(cmd.Process)
	}
	ends.serve(stop)

	grace := cmp.Or(c.Grace, DefaultGrace)
	exited := make(chan struct{})
	watched := make(chan struct{})
	go func() {
		defer close(watched)
		watch(ctx, cmd.Process, grace, exited)
	}()
	err = cmd.Wait()
	close(exited)
	<-watched
	ends.release()
	ends.finish(cmd.Process, grace)
	result.Wall = time.Since(start)
	if s := cmd.ProcessState; s != nil {
		result.CPU = s.UserTime() + s.SystemTime()
		meterOf(ctx).add(result.CPU)
	}

	cause := context.Cause(ctx)
	exit, failed := errors.AsType[*exec.ExitError](err)
	switch {
	case cause != nil:
		return result, cause
	case failed:
		return result, &ExitError{Name: c.Name, Code: exit.ExitCode(), State: exit.String(), Stderr: result.Stderr}
	}
	return result, err
}

// watch ends the program when ctx does: politely, then for good.
func watch(ctx context.Context, p *os.Process, grace time.Duration, exited <-chan struct{}) {
	select {
	case <-exited:
		return
	case <-ctx.Done():
	}
	interrupt(p)
	select {
	case <-exited:
	case <-time.After(grace):
		kill(p)
	}
}

// ends are both ends of all of a program's pipes.
type ends struct {
	ours, theirs []*os.File
	work         []func() error // one for each of ours
	busy         sync.WaitGroup
}

// connect makes the pipes that c asks for and ties their far ends to cmd.
func (c Cmd) connect(cmd *exec.Cmd, result *Result) (_ *ends, err error) {
	e := &ends{}
	defer func() {
		if err != nil {
			e.closeTheirs()
			e.closeOurs()
		}
	}()
	stdout := c.Stdout
	if c.Progress != nil {
		stdout = func(r io.Reader) error { return readProgress(r, c.Progress) }
	}
	if c.Stdin != nil {
		if cmd.Stdin, err = e.feed(c.Stdin); err != nil {
			return nil, err
		}
	}
	if stdout != nil {
		if cmd.Stdout, err = e.drain(stdout); err != nil {
			return nil, err
		}
	}
	cmd.Stderr, err = e.drain(func(r io.Reader) error {
		result.Stderr = readTail(r)
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, p := range c.Pipes {
		if (p.Read == nil) == (p.Write == nil) {
			return nil, errors.New("proc: a pipe either reads or writes")
		}
		if err := e.hand(cmd, p); err != nil {
			return nil, err
		}
	}
	return e, nil
}

// drain makes a pipe that read reads from, and returns the program's end.
func (e *ends) drain(read func(io.Reader) error) (*os.File, error) {
	r, w, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	e.ours, e.theirs = append(e.ours, r), append(e.theirs, w)
	e.work = append(e.work, func() error { return take(r, read) })
	return w, nil
}

// take has all read that comes through a pipe; what is left is thrown away.
func take(r *os.File, read func(io.Reader) error) error {
	if err := read(r); err != nil {
		return err
	}
	_, err := io.Copy(io.Discard, r)
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return nil
	}
	return err
}

// feed makes a pipe that make writes to, and returns the program's end.
func (e *ends) feed(write func(io.Writer) error) (*os.File, error) {
	r, w, err := os.Pipe()
	if err != nil {
		return nil, err
	}
	e.ours, e.theirs = append(e.ours, w), append(e.theirs, r)
	e.work = append(e.work, func() error { return pour(w, write) })
	return r, nil
}

// pour writes into a pipe for as long as the program reads.
func pour(w *os.File, write func(io.Writer) error) error {
	err := write(w)
	if unread(err) || errors.Is(err, os.ErrDeadlineExceeded) {
		return nil // it wants no more: its own end says whether that is well
	}
	return err
}

// serve runs our ends; the first that fails stops the program.
func (e *ends) serve(stop context.CancelCauseFunc) {
	for i, work := range e.work {
		e.busy.Go(func() {
			defer e.ours[i].Close()
			if err := work(); err != nil {
				stop(err)
			}
		})
	}
}

// finish waits for our ends after the program's end. A pipe that something the
// program started still holds open is taken from it.
func (e *ends) finish(p *os.Process, grace time.Duration) {
	done := make(chan struct{})
	go func() {
		e.busy.Wait()
		close(done)
	}()
	select {
	case <-done:
		return
	case <-time.After(grace):
		kill(p)
	}
	select {
	case <-done:
		return
	case <-time.After(grace):
	}
	for _, f := range e.ours {
		_ = f.SetDeadline(time.Now())
	}
	<-done
}

func (e *ends) closeTheirs() {
	for _, f := range e.theirs {
		f.Close()
	}
}

func (e *ends) closeOurs() {
	for _, f := range e.ours {
		f.Close()
	}
}
