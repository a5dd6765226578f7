package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"

	"tenoff/web"
)

// serve serves the pages until it is told to stop.
func serve(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	dir := dataFlag(flags)
	address := flags.String("listen", defaultListen, "where to listen: HOST:PORT of this machine, port 0 for any free one")
	verbose := flags.Bool("verbose", false, "log every request")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	l, err := listen(ctx, *address)
	if err != nil {
		return err
	}
	defer l.Close()
	p, err := NewProgram(ctx, *dir, newLog(io, level(*verbose, slog.LevelInfo)))
	if err != nil {
		return err
	}
	defer p.Close()
	if !web.Built() {
		p.log.Warn("the page was not built into this program; only the API answers")
	}
	fmt.Fprintf(io.out, "tenoff is at http://%s (data in %s); stop it with Ctrl-C\n", l.Addr(), *dir)
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
