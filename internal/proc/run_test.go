//go:build unix

package proc

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"go.uber.org/goleak"
)

// helperVar makes the test binary run a shell command through Run and nothing
// else.
const helperVar = "PROC_TEST_SHELL"

func TestMain(m *testing.M) {
	if script := os.Getenv(helperVar); script != "" {
		_, err := Run(context.Background(), shell(script))
		fmt.Println(err)
		os.Exit(0)
	}
	goleak.VerifyTestMain(m)
}

func shell(script string) Cmd {
	return Cmd{Name: "sh", Args: []string{"-c", script}, Grace: 100 * time.Millisecond, Limit: time.Minute}
}

// pidIn waits for a process to write its number to the file.
func pidIn(t *testing.T, file string) int {
	t.Helper()
	for range 500 {
		b, _ := os.ReadFile(file)
		if pid, err := strconv.Atoi(strings.TrimSpace(string(b))); err == nil {
			return pid
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("%s never came", file)
	return 0
}

func TestPipesCarryAllBothWays(t *testing.T) {
	const size = 3 << 20 // far more than a pipe holds
	want := bytes.Repeat([]byte("0123456789abcdef"), size/16)
	var out, side bytes.Buffer
	c := shell("cat; cat <&3 >&4; echo oops >&2")
	c.Stdin = func(w io.Writer) error { _, err := w.Write(want); return err }
	c.Stdout = func(r io.Reader) error { _, err := out.ReadFrom(r); return err }
	c.Pipes = []Pipe{
		{Write: func(w io.Writer) error { _, err := w.Write(want); return err }},
		{Read: func(r io.Reader) error { _, err := side.ReadFrom(r); return err }},
	}
	result, err := Run(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(out.Bytes(), want) || !bytes.Equal(side.Bytes(), want) {
		t.Errorf("came back: %d and %d of %d bytes", out.Len(), side.Len(), size)
	}
	if result.Stderr != "oops\n" {
		t.Errorf("stderr %q", result.Stderr)
	}
	if result.CPU <= 0 || result.Wall <= 0 {
		t.Errorf("times %v, %v", result.CPU, result.Wall)
	}
}

func TestProgramThatFails(t *testing.T) {
	_, err := Run(t.Context(), shell("echo first >&2; echo last words >&2; exit 3"))
	exit, ok := errors.AsType[*ExitError](err)
	if !ok || exit.Code != 3 || !Said(err, "first") || Said(err, "second") {
		t.Fatalf("%#v", err)
	}
	if got := err.Error(); got != "sh: exit status 3: last words" {
		t.Errorf("%q", got)
	}
	_, err = Run(t.Context(), shell("kill -9 $$"))
	if exit, ok := errors.AsType[*ExitError](err); !ok || exit.Code != -1 {
		t.Errorf("killed: %v", err)
	}
}

func TestOnlyTheEndOfStderrIsKept(t *testing.T) {
	result, err := Run(t.Context(), shell("head -c 1000000 /dev/zero | tr '\\0' x >&2; echo end >&2"))
	if err != nil {
		t.Fatal(err)
	}
	if len(result.Stderr) != tailSize || !strings.HasSuffix(result.Stderr, "xend\n") {
		t.Errorf("%d bytes, end %q", len(result.Stderr), result.Stderr[max(0, len(result.Stderr)-8):])
	}
}

func TestMissingProgram(t *testing.T) {
	_, err := Run(t.Context(), Cmd{Name: "no-such-program-here"})
	missing, ok := errors.AsType[*MissingError](err)
	if !ok {
		t.Fatalf("%v", err)
	}
	const want = "no-such-program-here is not installed on this machine"
	if !strings.HasPrefix(missing.Error(), want) {
		t.Errorf("%q", missing.Error())
	}
}

func TestCancelEndsTheWholeGroup(t *testing.T) {
	for _, c := range []struct{ name, trap string }{
		{"polite", ""},
		{"deaf", "trap '' INT;"}, // children of a shell inherit it
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "pid")
			ctx, cancel := context.WithCancelCause(t.Context())
			why := errors.New("no longer wanted")
			go func() {
				pidIn(t, file)
				cancel(why)
			}()
			_, err := Run(ctx, shell(c.trap+"sh -c 'echo $$ > "+file+"; sleep 1000; sleep 1000' & wait; wait; sleep 1000"))
			if !errors.Is(err, why) {
				t.Fatalf("%v", err)
			}
			mustBeGone(t, pidIn(t, file))
		})
	}
}

// mustBeGone waits for the kernel to bury a killed process.
func mustBeGone(t *testing.T, pid int) {
	t.Helper()
	for range 500 {
		if state := stateOf(pid); state == "" || state == "Z" {
			return
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Errorf("process %d still runs", pid)
	_ = syscall.Kill(pid, syscall.SIGKILL)
}

// stateOf returns the state letter of a process, "" for none.
func stateOf(pid int) string {
	b, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", pid))
	if err != nil {
		return ""
	}
	_, after, _ := strings.Cut(string(b), ") ")
	return after[:1]
}

func TestContextThatEndedStartsNothing(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	file := filepath.Join(t.TempDir(), "f")
	if _, err := Run(ctx, shell("touch "+file)); !errors.Is(err, context.Canceled) {
		t.Fatal(err)
	}
	if _, err := os.Stat(file); err == nil {
		t.Error("it ran")
	}
}

func TestLimit(t *testing.T) {
	c := shell("sleep 1000")
	c.Limit = 50 * time.Millisecond
	_, err := Run(t.Context(), c)
	if limit, ok := errors.AsType[*LimitError](err); !ok || limit.Limit != c.Limit {
		t.Fatalf("%v", err)
	}
}

func TestReaderThatFailsEndsTheProgram(t *testing.T) {
	why := errors.New("enough")
	c := shell("while :; do echo y; done >&3")
	c.Pipes = []Pipe{{Read: func(r io.Reader) error {
		if _, err := io.ReadFull(r, make([]byte, 10)); err != nil {
			return err
		}
		return why
	}}}
	if _, err := Run(t.Context(), c); !errors.Is(err, why) {
		t.Fatalf("%v", err)
	}
}

func TestWhatIsNotReadStallsNothing(t *testing.T) {
	c := shell("head -c 1000000 /dev/zero; echo done >&2")
	c.Stdout = func(io.Reader) error { return nil }
	result, err := Run(t.Context(), c)
	if err != nil || result.Stderr != "done\n" {
		t.Fatalf("%q, %v", result.Stderr, err)
	}
}

func TestProgramThatWantsNoMoreInput(t *testing.T) {
	endless := func(w io.Writer) error {
		for {
			if _, err := w.Write(make([]byte, 64<<10)); err != nil {
				return err
			}
		}
	}
	c := shell("head -c 10 > /dev/null")
	c.Stdin = endless
	if _, err := Run(t.Context(), c); err != nil {
		t.Errorf("it ended well: %v", err)
	}
	c = shell("exit 4")
	c.Stdin = endless
	if _, err := Run(t.Context(), c); err == nil || !strings.Contains(err.Error(), "exit status 4") {
		t.Errorf("its own status says more than the broken pipe: %v", err)
	}
}

func TestChildThatHoldsThePipes(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pid")
	c := shell("sleep 1000 & echo $! > " + file)
	c.Stdout = func(r io.Reader) error { _, err := io.Copy(io.Discard, r); return err }
	if _, err := Run(t.Context(), c); err != nil {
		t.Fatal(err)
	}
	mustBeGone(t, pidIn(t, file))
}

func TestProgramDiesWithUs(t *testing.T) {
	file := filepath.Join(t.TempDir(), "pid")
	us := exec.Command(os.Args[0])
	us.Env = append(os.Environ(), helperVar+"=echo $$ > "+file+"; exec sleep 1000")
	if err := us.Start(); err != nil {
		t.Fatal(err)
	}
	pid := pidIn(t, file)
	if err := us.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = us.Wait()
	mustBeGone(t, pid)
}

func TestPipeWithTwoEnds(t *testing.T) {
	c := shell("true")
	c.Pipes = []Pipe{{}}
	if _, err := Run(t.Context(), c); err == nil {
		t.Error("a pipe that neither reads nor writes was taken")
	}
}

func TestNiceGivesWay(t *testing.T) {
	var out bytes.Buffer
	c := shell("sleep 0.2; nice") // prints its own niceness
	c.Nice = true
	c.Stdout = func(r io.Reader) error { _, err := out.ReadFrom(r); return err }
	if _, err := Run(t.Context(), c); err != nil {
		t.Fatal(err)
	}
	if got, err := strconv.Atoi(strings.TrimSpace(out.String())); err != nil || got < 10 {
		t.Errorf("runs at %q, %v", out.String(), err)
	}
}
