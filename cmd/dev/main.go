// Command dev is the task runner: it sets a machine up, runs the demo, and runs
// every test. It needs nothing but Go's standard library.
//
//	go run ./cmd/dev demo    install what is missing, build, make the demo season, serve it
//	go run ./cmd/dev academy  several nodes on one PostgreSQL and one bucket, with the demo
//	go run ./cmd/dev test    install what the tests need, run all of them
//	go run ./cmd/dev build   build the page and the program into .build/
//	go run ./cmd/dev lint    go vet, staticcheck and the page's type check
//	go run ./cmd/dev release make the packages that are installed without a compiler
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"
)

type task struct {
	name, does string
	run        func(context.Context, []string) error
}

func tasks() []task {
	return []task{
		{"demo", "set up, build, make the demo season if there is none, and serve it", demo},
		{"academy", "start PostgreSQL, an object storage, two web and two work nodes with the demo on this machine; --kill runs the long test of nodes that are killed, --clocks that of nodes whose clocks differ", academy},
		{"test", "set up and run every test", test},
		{"build", "build the page and the program into .build/", build},
		{"lint", "go vet, staticcheck and the page's type check", lint},
		{"licences", "write what is inside the program and its licences to .build/LICENCES.txt", writeLicences},
		{"release", "make the packages that are installed without a compiler, in .build/release", release},
		{"storage", "build the object storage that an academy on this machine and its tests keep films in", buildStorage},
		{"setup", "only install what demo and test need", setup},
	}
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := dispatch(ctx, os.Args[1:]); err != nil && !errors.Is(err, context.Canceled) {
		fmt.Fprintln(os.Stderr, "dev:", err)
		os.Exit(1)
	}
}

func dispatch(ctx context.Context, args []string) error {
	if err := goToRoot(); err != nil {
		return err
	}
	if len(args) > 0 {
		for _, t := range tasks() {
			if t.name == args[0] {
				return t.run(ctx, args[1:])
			}
		}
	}
	var usage strings.Builder
	usage.WriteString("usage: go run ./cmd/dev TASK\n")
	for _, t := range tasks() {
		fmt.Fprintf(&usage, "  %-8s %s\n", t.name, t.does)
	}
	return errors.New(usage.String())
}

func setup(ctx context.Context, _ []string) error {
	return install(ctx, append(toolsToRun(), toolsToTest()...))
}

func build(ctx context.Context, _ []string) error {
	if err := buildPage(ctx); err != nil {
		return err
	}
	if err := buildJoints(ctx); err != nil {
		return err
	}
	return buildProgram(ctx)
}

func lint(ctx context.Context, _ []string) error {
	if err := buildPage(ctx); err != nil {
		return err
	}
	if err := checkPage(ctx); err != nil {
		return err
	}
	return lintGo(ctx)
}

func demo(ctx context.Context, args []string) error {
	if err := install(ctx, toolsToRun()); err != nil {
		return err
	}
	if err := build(ctx, nil); err != nil {
		return err
	}
	// The program is started as it is, not through `go run`, which would neither
	// pass a SIGTERM on nor report the exit code.
	return run(ctx, program, append([]string{"demo"}, args...)...)
}
