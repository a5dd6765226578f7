package proc

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"
	"time"
)

// copyVar makes the test binary a program that copies the file which its first argument
// names to that of its second, as ffmpeg takes a pipe for a file.
const copyVar = "PROC_TEST_COPY"

func TestMain(m *testing.M) {
	if what := os.Getenv(copyVar); what != "" {
		os.Exit(copyAs(what))
	}
	os.Exit(m.Run())
}

func copyAs(what string) int {
	switch what {
	case "nothing":
		return 3
	case "for ever":
		time.Sleep(time.Hour)
	}
	from, err := os.Open(os.Args[1])
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	to, err := os.OpenFile(os.Args[2], os.O_WRONLY, 0)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	var r io.Reader = from
	if what == "a little" {
		r = io.LimitReader(from, 1000)
	}
	_, err = io.Copy(to, r)
	if err := errors.Join(err, from.Close(), to.Close()); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// copying runs this binary as that program and returns what came through it.
func copying(ctx context.Context, t *testing.T, what string, in []byte) ([]byte, error) {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	_, err = Run(ctx, Cmd{Name: self, Args: []string{"pipe:3", "pipe:4"}, Env: []string{copyVar + "=" + what}, Nice: true, Grace: 100 * time.Millisecond, Limit: time.Minute, Pipes: []Pipe{
		{Write: func(w io.Writer) error { _, err := w.Write(in); return err }},
		{Read: func(r io.Reader) error { _, err := out.ReadFrom(r); return err }},
	}})
	return out.Bytes(), err
}

func TestNamedPipes(t *testing.T) {
	in := bytes.Repeat([]byte("0123456789abcdef"), 3<<16) // far more than a pipe holds
	if out, err := copying(t.Context(), t, "all", in); err != nil || !bytes.Equal(out, in) {
		t.Errorf("%d of %d bytes came through, %v", len(out), len(in), err)
	}
	if out, err := copying(t.Context(), t, "a little", in); err != nil || !bytes.Equal(out, in[:1000]) {
		t.Errorf("who reads little gave %d bytes, %v", len(out), err)
	}
	// One that opens no pipe is not waited for.
	_, err := copying(t.Context(), t, "nothing", in)
	if exit, ok := errors.AsType[*ExitError](err); !ok || exit.Code != 3 {
		t.Errorf("who opens nothing: %v", err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Second)
	defer cancel()
	if _, err := copying(ctx, t, "for ever", in); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("who hangs: %v", err)
	}
}

func TestAPipeWithoutItsName(t *testing.T) {
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	_, err = Run(t.Context(), Cmd{Name: self, Pipes: []Pipe{{Read: func(io.Reader) error { return nil }}}})
	if err == nil || !strings.Contains(err.Error(), "pipe:3") {
		t.Errorf("%v", err)
	}
}
