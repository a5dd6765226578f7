package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"

	"tenoff/web"
)

// serve serves the pages until it is told to stop: to this machine only, unless it is
// told to be reached from elsewhere, which asks for a passphrase.
func serve(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	dir := dataFlag(flags)
	from := reachFlags(flags)
	verbose := flags.Bool("verbose", false, "log every request")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	way, err := from.way(*dir)
	if err != nil {
		return err
	}
	l, err := way.open(ctx)
	if err != nil {
		return err
	}
	defer l.Close()
	p, err := NewProgram(ctx, *dir, newLog(io, level(*verbose, slog.LevelInfo)))
	if err != nil {
		return err
	}
	defer p.Close()
	if err := p.locked(ctx, way); err != nil {
		return err
	}
	p.access = way.access
	if way.access.Guarded && way.tls == nil && len(way.access.Proxies) == 0 {
		p.log.Warn("this network can read along: what is sent is not encrypted; use --cert or --domain where strangers share it")
	}
	if !web.Built() {
		p.log.Warn("the page was not built into this program; only the API answers")
	}
	fmt.Fprintf(io.out, "tenoff is at %s (data in %s); stop it with Ctrl-C\n", way.says(l), *dir)
	return p.Run(ctx, l)
}

// newLog logs to the error stream, from level on: people read it, so it is text.
func newLog(io streams, level slog.Level) *slog.Logger {
	return slog.New(slog.NewTextHandler(io.err, &slog.HandlerOptions{Level: level}))
}

// level is what is logged: everything when that was asked for.
func level(verbose bool, otherwise slog.Level) slog.Level {
	if verbose {
		return slog.LevelDebug
	}
	return otherwise
}
