package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"

	"tenoff/internal/blob/s3server"
)

// academy starts a PostgreSQL, an object storage, two web nodes and two work nodes on this
// machine, with the demo, until it is told to stop; then all of it is gone. With --kill it
// runs the long test of nodes that are killed instead, with --clocks that of nodes whose clocks
// differ.
func academy(ctx context.Context, args []string) error {
	if len(args) > 0 && args[0] == "--clocks" {
		return testClocks(ctx, args[1:])
	}
	if len(args) > 0 && args[0] == "--kill" {
		if err := setup(ctx, nil); err != nil {
			return err
		}
		if err := buildStorage(ctx, nil); err != nil {
			return err
		}
		long := []string{"test", goTags, "./cmd/tenoff", "-run", "^TestKilled$", "-v", "-count=1", "-timeout=4h", "-storage", "-kills=50", "-stops=3", "-frozen=60s", "-webs=3", "-works=4"}
		return run(ctx, "go", append(long, args[1:]...)...)
	}
	if err := install(ctx, append(toolsToRun(), postgresql)); err != nil {
		return err
	}
	if err := build(ctx, nil); err != nil {
		return err
	}
	if err := buildStorage(ctx, nil); err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "tenoff-academy-") // a socket's path must be short
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	rows, err := startPostgres(ctx, dir)
	if err != nil {
		return err
	}
	defer rows.end()
	files, err := startStorage(ctx, filepath.Join(dir, "storage"))
	if err != nil {
		return err
	}
	defer files.Crash() // all of it is removed
	return together(ctx, rows.address, files.Address("academy"), dir)
}

// postgresql is the tool that academies keep their rows in.
var postgresql = tool{"PostgreSQL", []string{"postgresql"}, "postgresql", "an academy's rows; the store's tests run over it too", either(onPath("initdb"), matches("/usr/lib/postgresql/*/bin/initdb"))}

// together runs the nodes and makes the demo, until ctx ends. Each has a folder of its own in
// dir.
func together(ctx context.Context, rows, files, dir string) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var busy sync.WaitGroup
	ended := make(chan error, 5)
	begin := func(name string, args ...string) {
		busy.Go(func() {
			err := tell(ctx, name, args...)
			if ctx.Err() == nil {
				ended <- fmt.Errorf("%s ended: %w", name, err)
			}
		})
	}
	on := func(task, name string, more ...string) []string {
		own := filepath.Join(dir, strings.ReplaceAll(name, " ", "-"))
		return append([]string{task, "--store", rows, "--files", files, "--data", own}, more...)
	}
	serve := func(name, role, watch string, more ...string) {
		begin(name, on("serve", name, append([]string{"--role", role, "--watch", watch, "--zone", "UTC"}, more...)...)...)
	}
	serve("web 1", "web", "127.0.0.1:7310", "--listen", "127.0.0.1:7300")
	if err := ready(ctx, "127.0.0.1:7310", ended); err != nil { // the first one makes the database's tables
		stop()
		busy.Wait()
		return err
	}
	serve("web 2", "web", "127.0.0.1:7311", "--listen", "127.0.0.1:7301")
	serve("work 1", "work", "127.0.0.1:7312")
	serve("work 2", "work", "127.0.0.1:7313")
	busy.Go(func() {
		if err := tell(ctx, "demo", on("demo", "demo", "--once")...); err != nil && ctx.Err() == nil {
			fmt.Fprintln(os.Stderr, "the demo could not be made:", err)
		}
	})
	fmt.Fprintf(os.Stderr, "\nthe academy: pages at http://127.0.0.1:7300 and http://127.0.0.1:7301, the demo comes within minutes;\n"+
		"figures at http://127.0.0.1:7310/metrics to :7313; rows in %s, films in %s; Ctrl-C stops all and removes it\n\n", rows, files)
	var err error
	select {
	case <-ctx.Done():
		err = ctx.Err()
	case err = <-ended:
	}
	stop()
	busy.Wait()
	return err
}

// ready waits until what is watched at an address can be sent requests; ended says that it, or
// another, came to an end before.
func ready(ctx context.Context, watch string, ended <-chan error) error {
	client := http.Client{Timeout: 5 * time.Second}
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case err := <-ended:
			return err
		case <-time.After(100 * time.Millisecond):
		}
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+watch+"/ready", nil)
		if err != nil {
			return err
		}
		answer, err := client.Do(r)
		if err != nil {
			continue // it does not listen yet
		}
		answer.Body.Close()
		if answer.StatusCode == http.StatusOK {
			return nil
		}
	}
}

// tell runs the program and says what it says, each line under its name.
func tell(ctx context.Context, name string, args ...string) error {
	cmd := exec.CommandContext(ctx, program, args...)
	cmd.Env = append(os.Environ(), "TENOFF_S3_KEY="+s3server.Key, "TENOFF_S3_SECRET="+s3server.Secret)
	cmd.Cancel = func() error { return cmd.Process.Signal(syscall.SIGTERM) }
	cmd.WaitDelay = 40 * time.Second
	under := &lines{to: os.Stderr, name: name}
	cmd.Stdout, cmd.Stderr = under, under
	cmd.SysProcAttr = apart() // Ctrl-C is ours to pass on
	return cmd.Run()
}

// lines writes whole lines, each under a name.
type lines struct {
	mu   sync.Mutex
	to   io.Writer
	name string
	left string
}

func (l *lines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	text := l.left + string(p)
	at := strings.LastIndexByte(text, '\n') + 1
	l.left = text[at:]
	var out strings.Builder
	for line := range strings.Lines(text[:at]) {
		fmt.Fprintf(&out, "%-7s %s", l.name, line)
	}
	_, err := io.WriteString(l.to, out.String())
	return len(p), err
}

// postgres is a server of this machine's own.
type postgres struct {
	address string
	server  *exec.Cmd
}

// startPostgres makes a cluster in dir, as a user without rights where this is root, and
// starts its server, which listens to a socket there and nowhere else.
func startPostgres(ctx context.Context, dir string) (*postgres, error) {
	bin, err := postgresPrograms()
	if err != nil {
		return nil, err
	}
	rows := filepath.Join(dir, "rows")
	if err := errors.Join(os.Mkdir(rows, 0o700), os.Chmod(dir, 0o711)); err != nil {
		return nil, err
	}
	as := func(cmd *exec.Cmd) *exec.Cmd {
		cmd.Dir, cmd.Stderr, cmd.SysProcAttr = rows, os.Stderr, apart()
		return cmd
	}
	if os.Geteuid() == 0 { // PostgreSQL does not run as root
		u, err := user.Lookup("postgres")
		if err != nil {
			return nil, err
		}
		uid, gid, err := ids(u)
		if err != nil {
			return nil, err
		}
		if err := os.Chown(rows, uid, gid); err != nil {
			return nil, err
		}
		plain := as
		as = func(cmd *exec.Cmd) *exec.Cmd { return withIDs(plain(cmd), uid, gid) }
	}
	data := filepath.Join(rows, "data")
	if err := as(exec.CommandContext(ctx, filepath.Join(bin, "initdb"), "-D", data, "-U", "tenoff", "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en")).Run(); err != nil {
		return nil, fmt.Errorf("initdb: %w", err)
	}
	p := &postgres{address: "postgres://tenoff@/postgres?host=" + rows}
	p.server = as(exec.Command(filepath.Join(bin, "postgres"), "-D", data, "-k", rows, "-c", "listen_addresses=", "-c", "log_min_messages=fatal"))
	if err := p.server.Start(); err != nil {
		return nil, err
	}
	for range 200 {
		if exec.CommandContext(ctx, filepath.Join(bin, "pg_isready"), "-q", "-U", "tenoff", "-h", rows).Run() == nil {
			return p, nil
		}
		time.Sleep(100 * time.Millisecond)
	}
	p.end()
	return nil, errors.New("PostgreSQL does not answer")
}

func (p *postgres) end() {
	_ = p.server.Process.Signal(os.Interrupt) // it ends all sessions and stops
	_ = p.server.Wait()
}

// postgresPrograms is the folder of PostgreSQL's programs: Debian keeps them off the path.
func postgresPrograms() (string, error) {
	if path, err := exec.LookPath("initdb"); err == nil {
		path, err = filepath.EvalSymlinks(path)
		return filepath.Dir(path), err
	}
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", errors.Join(err, errors.New("PostgreSQL was installed but can't be found"))
	}
	return filepath.Dir(slices.Max(found)), nil
}

func ids(u *user.User) (uid, gid int, err error) {
	uid, uidErr := strconv.Atoi(u.Uid)
	gid, gidErr := strconv.Atoi(u.Gid)
	return uid, gid, errors.Join(uidErr, gidErr)
}
