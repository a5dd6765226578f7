// Package s3server runs versitygw, an object storage that speaks S3, over a folder of this
// machine: for tests, and for the academy that cmd/dev starts. It ends with the program,
// however that ends. The program is none of tenoff's: cmd/dev builds it at its first use.
package s3server

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// What is built, as `go install` takes it.
const (
	Module  = "github.com/versity/versitygw/cmd/versitygw"
	Version = "v1.8.0"
)

// Folder is where it is built, below the root of tenoff's module.
const Folder = ".build/versitygw-" + Version

// The bucket that a server has, and who may use it.
const (
	bucket = "films"
	Key    = "tester"
	Secret = "tested-by-tests-only"
)

// Server is one storage, reached from this machine alone.
type Server struct {
	program, dir, address string
	as                    func(*exec.Cmd)

	running *exec.Cmd
	keep    io.Closer // the server lives while this is open
	itself  *os.Process
}

// Built returns the path of the program, or an error that says how it is built.
func Built() (string, error) {
	dir, err := os.Getwd()
	if err != nil {
		return "", err
	}
	for { // tests are run in their package's folder
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		if dir == filepath.Dir(dir) {
			return "", errors.New("this is not run inside the tenoff checkout")
		}
		dir = filepath.Dir(dir)
	}
	path := filepath.Join(dir, filepath.FromSlash(Folder), "versitygw")
	if _, err := os.Stat(path); err != nil {
		return "", fmt.Errorf("the object storage for tests is not built (`go run ./cmd/dev storage` does): %w", err)
	}
	return path, nil
}

// Start starts a server over the folder dir, which stays, with one bucket. as may say how its
// process is started, nil for as any other.
func Start(ctx context.Context, dir string, as func(*exec.Cmd)) (*Server, error) {
	s := &Server{as: as}
	var err error
	if s.program, err = Built(); err != nil {
		return nil, err
	}
	if s.dir, err = filepath.Abs(dir); err != nil {
		return nil, err
	}
	if err := os.MkdirAll(filepath.Join(s.data(), bucket), 0o700); err != nil {
		return nil, err
	}
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	s.address = free.Addr().String()
	if err := free.Close(); err != nil {
		return nil, err
	}
	return s, s.Restart(ctx)
}

func (s *Server) data() string { return filepath.Join(s.dir, "data") }

// guard runs a server until its own input ends, which it does with the program that holds
// the other end.
const guard = `"$@" >>log 2>&1 & echo $!; read -r word; kill -s KILL $!; wait $!`

// Restart starts the server, which must not run, and waits until it answers.
func (s *Server) Restart(ctx context.Context) error {
	s.running = exec.Command("/bin/sh", "-c", guard, "sh", s.program, "--quiet", "--port", s.address, "posix", s.data())
	s.running.Dir = s.dir
	s.running.Env = append(os.Environ(), "ROOT_ACCESS_KEY="+Key, "ROOT_SECRET_KEY="+Secret)
	if s.as != nil {
		s.as(s.running)
	}
	out, err := s.running.StdoutPipe()
	if err != nil {
		return err
	}
	if s.keep, err = s.running.StdinPipe(); err != nil {
		return err
	}
	if err := s.running.Start(); err != nil {
		return err
	}
	var pid int
	_, err = fmt.Fscanln(out, &pid)
	if err == nil {
		s.itself, err = os.FindProcess(pid)
	}
	if err != nil {
		return errors.Join(err, s.Crash())
	}
	for began := time.Now(); ; time.Sleep(20 * time.Millisecond) {
		req, err := http.NewRequestWithContext(ctx, http.MethodGet, s.Endpoint(), nil)
		if err != nil {
			return errors.Join(err, s.Crash())
		}
		res, err := http.DefaultClient.Do(req) // which it refuses, since nobody asks
		if err == nil {
			return res.Body.Close()
		}
		if ctx.Err() != nil || time.Since(began) > time.Minute {
			log, _ := os.ReadFile(filepath.Join(s.dir, "log"))
			return errors.Join(fmt.Errorf("the object storage does not answer: %w\n%s", err, log), s.Crash())
		}
	}
}

// Endpoint is where it is reached.
func (s *Server) Endpoint() string { return "http://" + s.address }

// Address names a prefix of its bucket, as tenoff's flag takes it.
func (s *Server) Address(prefix string) string {
	return "s3://" + bucket + "/" + prefix + "?endpoint=" + s.Endpoint()
}

// Process is the server itself, to be stopped for a while.
func (s *Server) Process() *os.Process { return s.itself }

// Crash ends the server at once; see Restart.
func (s *Server) Crash() error {
	if s.keep == nil {
		return nil
	}
	err := s.keep.Close()
	s.keep = nil
	var exit *exec.ExitError
	if wait := s.running.Wait(); !errors.As(wait, &exit) {
		err = errors.Join(err, wait)
	}
	return err
}

// Age has everything be so much older.
func (s *Server) Age(by time.Duration) error {
	at := time.Now().Add(-by)
	return filepath.WalkDir(s.data(), func(path string, _ os.DirEntry, err error) error {
		if err == nil {
			err = os.Chtimes(path, at, at)
		}
		return err
	})
}
