package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"time"
)

const (
	outDir  = ".build" // git-ignored
	program = "./" + outDir + "/tenoff"
	// nomsgpack leaves an encoder out of gin that nothing here uses and that
	// doubles the binary.
	goTags = "-tags=nomsgpack"
)

// goToRoot makes the module's root the working directory, so that the tasks can
// be called from anywhere inside it.
func goToRoot() error {
	out, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return fmt.Errorf("asking go for the module's root: %w", err)
	}
	mod := strings.TrimSpace(string(out))
	if mod == "" || mod == os.DevNull {
		return errors.New("run this inside the tenoff checkout")
	}
	return os.Chdir(filepath.Dir(mod))
}

// run shows a command line and runs it with this terminal's input and output. A
// cancelled context ends the child with SIGTERM and counts as success of the
// cancel, not as the child's failure.
func run(ctx context.Context, name string, args ...string) error {
	return runIn(ctx, ".", nil, name, args...)
}

func runIn(ctx context.Context, dir string, env []string, name string, args ...string) error {
	fmt.Fprintln(os.Stderr, "+", name, strings.Join(args, " "))
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Dir = dir
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	cmd.Cancel = func() error { return cmd.Process.Signal(syscall.SIGTERM) }
	cmd.WaitDelay = 20 * time.Second
	err := cmd.Run()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		return fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return nil
}

// output runs a command and returns what it printed.
func output(ctx context.Context, name string, args ...string) ([]byte, error) {
	return outputWith(ctx, nil, name, args...)
}

func outputWith(ctx context.Context, env []string, name string, args ...string) ([]byte, error) {
	var out bytes.Buffer
	cmd := exec.CommandContext(ctx, name, args...)
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdout, cmd.Stderr = &out, os.Stderr
	if err := cmd.Run(); err != nil {
		return nil, fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return out.Bytes(), nil
}
