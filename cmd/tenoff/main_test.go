package main

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
)

// call runs a command line and returns its exit code and what it printed.
func call(ctx context.Context, args ...string) (code int, out, errs string) {
	var o, e bytes.Buffer
	code = dispatch(ctx, streams{strings.NewReader(""), &o, &e}, args)
	return code, o.String(), e.String()
}

// asProgram has the test's own binary be tenoff.
const asProgram = "TENOFF_IS_RUN_BY_A_TEST"

// drawn is a small film of two fastballs and a change-up, drawn once for all tests.
var drawn struct {
	path  string
	truth demo.Truth
}

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		main()
	}
	os.Exit(run(m))
}

func run(m *testing.M) int {
	dir, err := os.MkdirTemp("", "tenoff-test-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	drawn.path = filepath.Join(dir, "wren.mp4")
	if drawn.truth, err = demo.Write(context.Background(), small(), drawn.path); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return m.Run()
}

func small() demo.Options {
	return demo.Options{
		Seed: 3, Width: 320, Height: 180, Pace: demo.FPS(30, 1), Rest: 4.6, Steady: true, Lead: 1.2, Tail: 1,
		Reps: demo.Series(2, 1, demo.Same, 1), PlainStage: true,
	}
}

func TestExitCodesAndSentences(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "missing")
	letter := filepath.Join(t.TempDir(), "letter.mp4")
	if err := os.WriteFile(letter, []byte("no film"), 0o600); err != nil {
		t.Fatal(err)
	}
	reps := filepath.Join(t.TempDir(), "reps.csv")
	if err := os.WriteFile(reps, []byte("time,pitch,reading\n1.2,fb,55\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	wrong := filepath.Join(t.TempDir(), "wrong.csv")
	if err := os.WriteFile(wrong, []byte("when,what\n1,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	pipe := filepath.Join(t.TempDir(), "pipe.mp4")
	if err := syscall.Mkfifo(pipe, 0o600); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		args string
		code int
		says string // on the error stream
	}{
		{"", exitUsage, "exit codes"},
		{"help", exitOK, ""},
		{"fly", exitUsage, `no command "fly"`},
		{"version", exitOK, ""},
		{"columns", exitOK, ""},
		{"cut -h", exitOK, "tenoff columns"},
		{"cut -h", exitOK, "soft and too soft is too fast, a bit slow and too slow"},
		{"version now", exitUsage, "tenoff version -h"},
		{"serve -h", exitOK, "loopback|--listen|listen"},
		{"serve --nonsense", exitUsage, "nonsense"},
		{"serve --data NEW --listen 0.0.0.0:0", exitUsage, "set a passphrase first"},
		{"serve --data NEW --lan --listen :0", exitUsage, "set a passphrase first"},
		{"serve --data NEW --domain films.example --behind-proxy 127.0.0.1 --listen 127.0.0.1:0", exitUsage, "set a passphrase first"},
		{"serve --data NEW --behind-proxy 127.0.0.1", exitUsage, "needs --domain"},
		{"serve --data NEW --acme-directory https://authority.example/directory", exitUsage, "goes with --domain"},
		{"serve --data NEW --behind-proxy anyone --domain films.example", exitUsage, "takes addresses"},
		{"serve --data NEW --cert x.pem", exitUsage, "go together"},
		{"demo --listen 0.0.0.0:7300", exitUsage, "would open these films to the network"},
		{"passphrase --data NEW", exitFailed, "at least 12 letters"},
		{"serve --listen 7300", exitUsage, "HOST:PORT"},
		{"serve --store postgres://me@/tenoff?host=OUT", exitUsage, "with --store say where the films lie"},
		{"doctor --store postgres://me@/tenoff?host=OUT", exitUsage, "with --store say where the films lie"},
		{"add film.mp4", exitUsage, "--bullpen ID or --pitcher NICKNAME"},
		{"add --pitcher Wren", exitUsage, "tenoff add -h"},
		{"add --data NEW --pitcher Wren PIPE", exitFailed, "is a pipe, not a film"},
		{"add --data NEW --pitcher Wren /dev/zero", exitFailed, "is a device, not a film"},
		{"add --data NEW --pitcher Wren OUT", exitFailed, "is a folder, not a film"},
		{"cut --out OUT PIPE REPS", exitFailed, "is a pipe, not a film"},
		{"backup --data MISSING OUT", exitFailed, "There is no tenoff data in"},
		{"restore --data OUT MISSING", exitFailed, ""},
		{"health --address 127.0.0.1:1", exitFailed, "No healthy tenoff answers"},
		{"cut FILM REPS", exitUsage, "--out DIR"},
		{"cut --out OUT FILM", exitUsage, "tenoff cut -h"},
		{"cut --out OUT --unit knots FILM REPS", exitUsage, "mph or km/h"},
		{"cut --out OUT --level 9Z FILM REPS", exitUsage, "9Z"},
		{"cut --out OUT --gun moon FILM REPS", exitUsage, "behind catcher"},
		{"cut --out OUT --step 0 FILM REPS", exitUsage, "--step"},
		{"cut --out OUT FILM MISSING", exitFailed, "can't be opened"},
		{"cut --out OUT FILM WRONG", exitFailed, "reading"},
		{"cut --out OUT MISSING REPS", exitFailed, "can't be opened"},
		{"cut --out OUT FILM REPS", exitFailed, "letter.mp4"},
	} {
		t.Run(c.args, func(t *testing.T) {
			names := strings.NewReplacer("NEW", filepath.Join(t.TempDir(), "new"), "MISSING", missing, "OUT", t.TempDir(), "PIPE", pipe, "FILM", letter, "REPS", reps, "WRONG", wrong)
			var args []string
			for _, a := range strings.Fields(c.args) {
				args = append(args, names.Replace(a))
			}
			code, out, errs := call(t.Context(), args...)
			if code != c.code {
				t.Errorf("exit code %d, want %d: %s", code, c.code, errs)
			}
			if !says(errs, c.says) {
				t.Errorf("said %q, want %q in it", errs, c.says)
			}
			if code == exitFailed && (strings.Count(errs, "\n") != 1 || !strings.HasPrefix(errs, "tenoff ") || out != "") && !strings.HasPrefix(c.args, "cut") {
				t.Errorf("a failure is one sentence on the error stream, not %q and %q", errs, out)
			}
		})
	}
}

// The help of a command calls a flag's argument by one word: what stands between
// backquotes in its description is taken for that (package flag, PrintDefaults).
func TestHelpNamesArguments(t *testing.T) {
	for _, c := range commands() {
		_, _, help := call(t.Context(), c.name, "-h")
		for line := range strings.Lines(help) {
			about, isFlag := strings.CutPrefix(line, "  -")
			if about, _, _ = strings.Cut(about, "\t"); isFlag && len(strings.Fields(about)) > 2 {
				t.Errorf("%s -h: %q", c.name, strings.TrimSpace(line))
			}
		}
	}
	if _, _, help := call(t.Context(), "serve", "-h"); !strings.Contains(help, "-listen HOST:PORT\n") {
		t.Errorf("serve -h does not say what -listen takes: %s", help)
	}
}

// says reports whether text has one of the words between bars.
func says(text, words string) bool {
	for w := range strings.SplitSeq(words, "|") {
		if strings.Contains(text, w) {
			return true
		}
	}
	return false
}

// Without ffmpeg there is something to install, and the code says so.
func TestMissingFFmpeg(t *testing.T) {
	t.Setenv("PATH", t.TempDir())
	for _, args := range [][]string{
		{"doctor", "--data", t.TempDir()},
		{"demo", "--once", "--data", t.TempDir()},
		{"add", "--pitcher", "Wren", "--data", t.TempDir(), "film.mp4"},
		{"cut", "--out", t.TempDir(), "film.mp4", "reps.csv"},
	} {
		code, out, errs := call(t.Context(), args...)
		if code != exitInstall || !strings.Contains(out+errs, "ffmpeg") {
			t.Errorf("%v: exit code %d, %q, %q", args, code, out, errs)
		}
	}
}

func TestListen(t *testing.T) {
	l, err := listen(t.Context(), "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	if _, err := listen(t.Context(), l.Addr().String()); bullpen.CodeOf(err) != bullpen.Unavailable {
		t.Errorf("a taken port: %v", err)
	}
	for _, address := range []string{"localhost:0", "[::1]:0"} {
		l, err := listen(t.Context(), address)
		if err != nil && address != "[::1]:0" { // not every machine has IPv6
			t.Errorf("%s: %v", address, err)
			continue
		}
		if err == nil {
			if ip := l.Addr().(*net.TCPAddr).IP; !ip.IsLoopback() {
				t.Errorf("%s listens on %v", address, ip)
			}
			l.Close()
		}
	}
}

func TestDefaultDataFolder(t *testing.T) {
	t.Setenv("XDG_DATA_HOME", "/srv/data")
	if got := defaultData("tenoff"); got != "/srv/data/tenoff" {
		t.Errorf("with XDG_DATA_HOME: %s", got)
	}
	t.Setenv("XDG_DATA_HOME", "relative") // to be ignored, says the specification
	t.Setenv("HOME", "/home/coach")
	if got := defaultData("tenoff"); got != "/home/coach/.local/share/tenoff" {
		t.Errorf("without: %s", got)
	}
}
