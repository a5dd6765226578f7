package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"

	"tenoff/internal/bullpen"
)

// add puts films from paths into a bullpen and reads them, also beside a running
// server.
func add(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	dir := dataFlag(flags)
	id := flags.String("bullpen", "", "the ID of the bullpen (the end of its page's address); a new one unless said")
	label := flags.String("pitcher", "", "for a new bullpen: the pitcher's nickname, a new one's too")
	title := flags.String("title", "", "for a new bullpen: its title")
	films, err := parse(flags, args, -1)
	if err != nil {
		return err
	}
	if (*id == "") == (*label == "") {
		return usageError{sentence: "say either --bullpen ID or --pitcher NICKNAME"}
	}
	if err := needFFmpeg(ctx); err != nil {
		return err
	}
	p, stop, err := beside(ctx, *dir, io)
	if err != nil {
		return err
	}
	defer stop()
	if *id == "" {
		pen, err := p.newBullpen(ctx, *label, *title)
		if err != nil {
			return err
		}
		*id = pen.ID
		fmt.Fprintf(io.out, "bullpen %s\n", pen.ID)
	}
	for _, path := range films {
		if err := p.addFilm(ctx, io, *id, path); err != nil {
			return err
		}
	}
	return nil
}

// beside opens a data folder to do jobs on it, or, where another program does them
// already, to work beside that one.
func beside(ctx context.Context, dir string, io streams) (*Program, func(), error) {
	log := newLog(io, slog.LevelWarn)
	p, err := NewProgram(ctx, dir, log)
	if errors.Is(err, errInUse) {
		d, err := openData(ctx, dir, existing)
		if err != nil {
			return nil, nil, err
		}
		if p, err = connect(d, log); err != nil {
			return nil, nil, errors.Join(err, d.Close())
		}
		return p, func() { p.Close() }, nil
	}
	if err != nil {
		return nil, nil, err
	}
	ctx, cancel := context.WithCancel(ctx)
	ended := make(chan error, 1)
	go func() { ended <- p.Run(ctx, nil) }()
	return p, func() {
		cancel()
		if err := errors.Join(<-ended, p.Close()); err != nil {
			log.Error("the work did not end well", "err", err)
		}
	}, nil
}

// newBullpen begins a bullpen of the pitcher with that label, or of a new one.
func (p *Program) newBullpen(ctx context.Context, label, title string) (bullpen.Bullpen, error) {
	pitchers, err := p.store.Pitchers(ctx)
	if err != nil {
		return bullpen.Bullpen{}, err
	}
	for _, known := range pitchers {
		if known.Label == label {
			pen := known.Begin(today())
			pen.Title = title
			return p.store.AddBullpen(ctx, pen, false)
		}
	}
	level, err := p.store.Level(ctx, bullpen.UsualLevel)
	if err != nil {
		return bullpen.Bullpen{}, err
	}
	her := bullpen.NewPitcher(label, level.Level)
	pen := her.Begin(today())
	pen.Title = title
	_, pen, err = p.store.AddBullpenFor(ctx, her, pen, false)
	return pen, err
}

// addFilm takes one film in and waits until it was read.
func (p *Program) addFilm(ctx context.Context, io streams, bullpenID, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return bullpen.Errorf(bullpen.NotFound, "The film %s can't be opened.", path)
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return bullpen.Errorf(bullpen.Invalid, "%s is not a film.", path)
	}
	film, there, err := p.intake.Receive(ctx, bullpenID, filepath.Base(path), info.Size(), f)
	if err != nil {
		return err
	}
	if there {
		fmt.Fprintf(io.out, "%s is in this bullpen already: film %s\n", film.Name, film.ID)
	}
	if err := p.awaitFilm(ctx, film.ID); err != nil {
		return err
	}
	read, err := p.store.Film(ctx, film.ID)
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(io.out, "%s: film %s, %d frames, %dx%d\n", read.Name, read.ID, read.Clock.Frames(), read.Width, read.Height)
	return err
}
