package e2e

import (
	"bufio"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"
)

// tenoff is the program under test, built once.
var tenoff string

func TestMain(m *testing.M) { os.Exit(run(m)) }

func run(m *testing.M) int {
	dir, err := os.MkdirTemp("", "tenoff-e2e-")
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	defer os.RemoveAll(dir)
	tenoff = filepath.Join(dir, "tenoff")
	build := exec.Command("go", "build", "-tags=nomsgpack", "-o", tenoff, "tenoff/cmd/tenoff")
	build.Stdout, build.Stderr = os.Stderr, os.Stderr
	if err := build.Run(); err != nil {
		fmt.Fprintln(os.Stderr, "building tenoff:", err)
		return 1
	}
	return m.Run()
}

// program is a tenoff that serves.
type program struct {
	url  string // http://127.0.0.1:PORT
	cmd  *exec.Cmd
	over chan error // gets Wait's answer
}

var address = regexp.MustCompile(`http://[0-9.:]+`)

// serve starts `tenoff serve` on a data folder and waits until it listens. It is
// stopped, and must end well, when the test does.
func serve(t testing.TB, data string) *program {
	t.Helper()
	p := &program{cmd: exec.Command(tenoff, "serve", "--data", data, "--listen", "127.0.0.1:0"), over: make(chan error, 1)}
	p.cmd.Stderr = testLog{t}
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewReader(out)
	line, err := lines.ReadString('\n')
	p.url = address.FindString(line)
	go func() {
		_, _ = io.Copy(io.Discard, lines)
		p.over <- p.cmd.Wait()
	}()
	t.Cleanup(func() { p.stop(t) })
	if err != nil || p.url == "" {
		t.Fatalf("tenoff said %q, %v", line, err)
	}
	return p
}

// testLog passes the program's log on to the test's.
type testLog struct{ t testing.TB }

func (l testLog) Write(p []byte) (int, error) {
	l.t.Log(strings.TrimSpace(string(p)))
	return len(p), nil
}

// stop asks the program to end, which it must do without an error.
func (p *program) stop(t testing.TB) {
	t.Helper()
	if p.cmd == nil {
		return
	}
	if err := p.cmd.Process.Signal(syscall.SIGTERM); err != nil {
		t.Error(err)
	}
	if err := <-p.over; err != nil {
		t.Errorf("tenoff ended with %v", err)
	}
	p.cmd = nil
}

// kill ends the program as a power cut would.
func (p *program) kill(t testing.TB) {
	t.Helper()
	if err := p.cmd.Process.Kill(); err != nil {
		t.Error(err)
	}
	<-p.over
	p.cmd = nil
}

// ask sends a JSON request and decodes the answer into out, which may be nil. It
// returns the status.
func (p *program) ask(t testing.TB, method, path string, body, out any) int {
	t.Helper()
	status, text, err := p.try(t.Context(), method, path, body)
	if err != nil {
		t.Fatal(err)
	}
	if status >= 400 {
		t.Logf("%s %s: %d %s", method, path, status, text)
	}
	if out != nil && status < 400 {
		if err := json.Unmarshal(text, out); err != nil {
			t.Fatalf("%s %s: %v in %s", method, path, err, text)
		}
	}
	return status
}

func (p *program) try(ctx context.Context, method, path string, body any) (int, []byte, error) {
	var sent io.Reader
	switch b := body.(type) {
	case nil:
	case io.Reader:
		sent = b
	default:
		text, err := json.Marshal(b)
		if err != nil {
			return 0, nil, err
		}
		sent = strings.NewReader(string(text))
	}
	req, err := http.NewRequestWithContext(ctx, method, p.url+path, sent)
	if err != nil {
		return 0, nil, err
	}
	req.Header.Set("Content-Type", "application/json")
	res, err := http.DefaultClient.Do(req)
	if err != nil {
		return 0, nil, err
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	return res.StatusCode, text, err
}

// must is ask for what has to succeed.
func (p *program) must(t testing.TB, method, path string, body, out any) {
	t.Helper()
	if status := p.ask(t, method, path, body, out); status >= 400 {
		t.Fatalf("%s %s answered %d", method, path, status)
	}
}

// until asks for path again and again until good says so. What never comes is said,
// with what there is instead.
func (p *program) until(t testing.TB, path string, out any, good func() bool) {
	t.Helper()
	for began := time.Now(); ; time.Sleep(100 * time.Millisecond) {
		p.must(t, http.MethodGet, path, nil, out)
		if good() {
			return
		}
		if time.Since(began) > 4*patience {
			instead, _ := json.Marshal(out)
			t.Fatalf("%s never came to what was waited for: %s", path, instead)
		}
	}
}
