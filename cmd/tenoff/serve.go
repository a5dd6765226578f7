package main

import (
	"context"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"time"
	_ "time/tzdata" // a container has none

	"tenoff/internal/errand"
	"tenoff/web"
)

// serve serves the pages until it is told to stop: to this machine only, unless it is
// told to be reached from elsewhere, which asks for a passphrase.
func serve(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	zone := flags.String("zone", "", "with --store: the academy's time zone, for instance America/Chicago, which days go by on every machine; it is kept")
	from := reachFlags(flags)
	as := nodeFlags(flags)
	verbose := flags.Bool("verbose", false, "log every request")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	if err := at.check(); err != nil {
		return err
	}
	if err := as.check(at.rows != ""); err != nil {
		return err
	}
	way, err := from.way(at.dir)
	if err != nil {
		return err
	}
	var l net.Listener
	if as.role.answers() {
		if l, err = way.open(ctx); err != nil {
			return err
		}
		defer l.Close()
	}
	watching, err := as.open(ctx)
	if err != nil {
		return err
	}
	if watching != nil {
		defer watching.Close()
	}
	p, err := NewProgramOn(ctx, *at, newLog(io, level(*verbose, slog.LevelInfo)))
	if err != nil {
		return err
	}
	defer p.Close()
	if err := p.keepTime(ctx, *zone); err != nil {
		return err
	}
	p.node, p.watching = *as, watching
	if watching != nil {
		p.log.InfoContext(ctx, "vitals are told", "at", "http://"+watching.Addr().String(), "for the figures", map[bool]string{true: "this machine", false: "the token"}[as.token == ""])
	}
	if !as.role.answers() {
		fmt.Fprintf(io.out, "tenoff works (data in %s); stop it with Ctrl-C\n", at)
		return p.Run(ctx, nil)
	}
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
	fmt.Fprintf(io.out, "tenoff is at %s (data in %s); stop it with Ctrl-C\n", way.says(l), at)
	return p.Run(ctx, l)
}

// keepTime has this machine go by the academy's time zone, whatever its own is: on several
// machines a day has to be the same. Where one program works alone the machine's own is it.
func (p *Program) keepTime(ctx context.Context, zone string) error {
	if p.store.Ours() {
		if zone != "" {
			return usageError{sentence: "--zone goes with --store; without, days go by this machine's own time zone"}
		}
		return nil
	}
	kept, err := p.store.Setting(ctx, timeZone)
	if err != nil {
		return err
	}
	if zone != "" {
		if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
			return usageError{sentence: "--zone takes a name of the IANA time zone database, for instance America/Chicago"}
		}
		if kept != "" && kept != zone {
			p.log.WarnContext(ctx, "days went by another time zone until now; machines that run go on by it until they start again", "until now", kept, "from now on", zone)
		}
		if err := p.store.SaveSetting(ctx, timeZone, zone); err != nil {
			return err
		}
		kept = zone
	}
	if kept == "" {
		return usageError{sentence: "say once where the academy is with --zone, for instance --zone America/Chicago: its days go by that on every machine"}
	}
	where, err := time.LoadLocation(kept)
	if err != nil {
		return fmt.Errorf("time zone %q: %w", kept, err)
	}
	time.Local = where
	return nil
}

// timeZone is the first academy's setting that names the time zone of all of them.
const timeZone = "time zone"

// newLog logs to the error stream, from level on: people read it, so it is text.
func newLog(io streams, level slog.Level) *slog.Logger {
	return slog.New(errand.Log(slog.NewTextHandler(io.err, &slog.HandlerOptions{Level: level})))
}

// level is what is logged: everything when that was asked for.
func level(verbose bool, otherwise slog.Level) slog.Level {
	if verbose {
		return slog.LevelDebug
	}
	return otherwise
}
