// Command tenoff keeps a pitcher's bullpens on one machine: film, readings, the
// gap under her fastball, and captioned clips.
//
// Exit codes: 0 done, 1 failed, 2 called wrongly, 3 something has to be installed
// first. A failure is one sentence on the standard error stream.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strings"
	"syscall"
)

// command is one sub-command.
type command struct {
	name, args, does string
	// run does the work. It defines its options on flags, then parses args.
	run func(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error
}

// streams are the standard streams, so that tests can read them.
type streams struct {
	in       io.Reader
	out, err io.Writer
}

func commands() []command {
	return []command{
		{"serve", "", "serve the pages: on this machine only, or by a passphrase to others", serve},
		{"demo", "", "make the demo season if there is none, then serve it", showDemo},
		{"add", "FILM...", "put films into a bullpen and read them", add},
		{"cut", "--out DIR FILM REPS.csv", "make captioned clips and a summary of a film and a list of its reps; `tenoff columns` says what REPS.csv holds", cut},
		{"columns", "", "say what the columns of REPS.csv and of an export mean", columns},
		{"passphrase", "", "set the passphrase that a server asks for which is reached from elsewhere", setPassphrase},
		{"backup", "DIR", "copy everything into a folder, or bring an earlier copy there up to date, also while the server runs", backUp},
		{"restore", "DIR", "bring a backup back onto an empty data folder, or an academy's empty database", restore},
		{"doctor", "", "say what this machine can do and what to install", doctor},
		{"health", "", "ask a running server whether it is well", health},
		{"openapi", "", "print the HTTP API's description (OpenAPI 3.1)", openapi},
		{"version", "", "print the version", printVersion},
	}
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(dispatch(ctx, streams{os.Stdin, os.Stdout, os.Stderr}, os.Args[1:]))
}

// dispatch runs the sub-command that args name and returns the exit code.
func dispatch(ctx context.Context, io streams, args []string) int {
	if len(args) == 0 {
		fmt.Fprint(io.err, usage())
		return exitUsage
	}
	switch args[0] {
	case "help", "-h", "--help":
		fmt.Fprint(io.out, usage())
		return exitOK
	}
	for _, c := range commands() {
		if c.name == args[0] {
			return exit(io, c.name, c.run(ctx, io, newFlags(io, c), args[1:]))
		}
	}
	fmt.Fprintf(io.err, "tenoff: there is no command %q; `tenoff help` lists them\n", args[0])
	return exitUsage
}

func newFlags(io streams, c command) *flag.FlagSet {
	flags := flag.NewFlagSet(c.name, flag.ContinueOnError)
	flags.SetOutput(io.err)
	flags.Usage = func() {
		fmt.Fprintf(io.err, "tenoff %s: %s\n", strings.TrimSpace(c.name+" [options] "+c.args), c.does)
		flags.PrintDefaults()
	}
	return flags
}

func usage() string {
	var b strings.Builder
	b.WriteString("tenoff COMMAND [options]; `tenoff COMMAND -h` lists a command's options\n\n")
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-10s %s\n", c.name, c.does)
	}
	b.WriteString("\nexit codes: 0 done, 1 failed, 2 called wrongly, 3 something has to be installed first\n")
	return b.String()
}

// parse parses args and hands back what is left of them. want is how many: an
// exact number, or at least one for -1.
func parse(flags *flag.FlagSet, args []string, want int) ([]string, error) {
	if err := flags.Parse(args); err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return nil, err
		}
		return nil, usageError{err.Error(), true}
	}
	rest := flags.Args()
	if want == -1 && len(rest) == 0 || want >= 0 && len(rest) != want {
		return nil, usageError{sentence: "that is not how it is called; see `tenoff " + flags.Name() + " -h`"}
	}
	return rest, nil
}
