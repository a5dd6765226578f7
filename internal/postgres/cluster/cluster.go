// Package cluster runs a PostgreSQL of its own in a temporary folder, for tests. It ends
// with the program, however that ends.
package cluster

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
)

// Cluster is a server that nobody else knows, reached by a socket in its folder.
type Cluster struct {
	bin, dir string
	as       func(*exec.Cmd) // a user without rights
	server   *exec.Cmd
	keep     io.Closer // the server lives while this is open
}

// owner is the server's, who may do everything in it.
const owner = "tenoff"

// settings suit data that nobody will miss: a crash of the server loses nothing, a power
// cut would.
var settings = []string{"fsync=off", "full_page_writes=off", "shared_buffers=64MB", "max_connections=200", "listen_addresses="}

// Start makes a cluster and starts its server. Without PostgreSQL on this machine it fails.
// Its databases order text as people do unless they are told otherwise.
func Start(ctx context.Context) (_ *Cluster, err error) {
	c := &Cluster{}
	if c.bin, err = programs(); err != nil {
		return nil, err
	}
	var uid, gid int
	if c.as, uid, gid, err = withoutRights(); err != nil {
		return nil, err
	}
	if c.dir, err = os.MkdirTemp("", "tenoff-pg-"); err != nil { // a socket's path must be short
		return nil, err
	}
	if uid != os.Geteuid() {
		if err := os.Chown(c.dir, uid, gid); err != nil {
			return nil, errors.Join(err, os.RemoveAll(c.dir))
		}
	}
	making := c.command(ctx, "initdb", "-D", c.data(), "-U", owner, "-A", "trust", "-E", "UTF8", "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en", "--no-sync", "--no-instructions")
	if said, err := making.CombinedOutput(); err != nil {
		return nil, errors.Join(fmt.Errorf("initdb: %w: %s", err, said), os.RemoveAll(c.dir))
	}
	if err := c.Restart(ctx); err != nil {
		return nil, errors.Join(err, c.Close())
	}
	return c, nil
}

// programs is the folder of PostgreSQL's programs: Debian keeps them off the path.
func programs() (string, error) {
	if path, err := exec.LookPath("initdb"); err == nil {
		path, err = filepath.EvalSymlinks(path)
		return filepath.Dir(path), err
	}
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	if err != nil || len(found) == 0 {
		return "", errors.Join(err, errors.New("PostgreSQL is not installed; `go run ./cmd/dev test` installs what the tests need"))
	}
	return filepath.Dir(slices.Max(found)), nil
}

func (c *Cluster) data() string { return filepath.Join(c.dir, "data") }

func (c *Cluster) command(ctx context.Context, name string, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, filepath.Join(c.bin, name), args...)
	cmd.Dir = c.dir
	c.as(cmd)
	return cmd
}

// guard runs a server until its own input ends, which it does with the program that holds
// the other end, and takes the folder away where the program can't any more.
const guard = `"$@" & server=$!; read -r word; kill -s QUIT $server; wait $server; test "$word" = stay || rm -rf "$PWD"`

// Restart starts the server, which must not run, and waits until it answers.
func (c *Cluster) Restart(ctx context.Context) error {
	args := []string{"-c", guard, "sh", filepath.Join(c.bin, "postgres"), "-D", c.data(), "-k", c.dir}
	for _, s := range settings {
		args = append(args, "-c", s)
	}
	c.server = exec.Command("/bin/sh", args...)
	c.server.Dir = c.dir
	c.as(c.server)
	said, err := os.Create(filepath.Join(c.dir, "log"))
	if err != nil {
		return err
	}
	defer said.Close()
	c.server.Stdout, c.server.Stderr = said, said
	if c.keep, err = c.server.StdinPipe(); err != nil {
		return err
	}
	if err := c.server.Start(); err != nil {
		return err
	}
	for began := time.Now(); ; {
		db, err := pgx.Connect(ctx, c.Address("postgres"))
		if err == nil {
			return db.Close(ctx)
		}
		if ctx.Err() != nil || time.Since(began) > time.Minute {
			log, _ := os.ReadFile(said.Name())
			return fmt.Errorf("the server does not answer: %w\n%s", err, log)
		}
		time.Sleep(20 * time.Millisecond)
	}
}

// Address is a database's, as libpq reads it.
func (c *Cluster) Address(database string) string {
	return "postgres://" + owner + "@/" + database + "?host=" + c.dir
}

// Crash ends the server at once, as a power cut would; see Restart.
func (c *Cluster) Crash() error { return c.end("stay\n") }

// Close ends the server and removes everything.
func (c *Cluster) Close() error {
	return errors.Join(c.end("\n"), os.RemoveAll(c.dir))
}

func (c *Cluster) end(word string) error {
	if c.keep == nil {
		return nil
	}
	_, err := io.WriteString(c.keep.(io.Writer), word)
	err = errors.Join(err, c.keep.Close())
	c.keep = nil
	var exit *exec.ExitError
	if wait := c.server.Wait(); !errors.As(wait, &exit) {
		err = errors.Join(err, wait)
	}
	return err
}

// Do runs statements in a database, one after the other.
func (c *Cluster) Do(ctx context.Context, database string, statements ...string) error {
	db, err := pgx.Connect(ctx, c.Address(database))
	if err != nil {
		return err
	}
	defer db.Close(ctx)
	for _, s := range statements {
		if _, err := db.Exec(ctx, s); err != nil {
			return fmt.Errorf("%s: %w", strings.SplitN(s, "\n", 2)[0], err)
		}
	}
	return nil
}
