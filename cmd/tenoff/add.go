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
	"tenoff/internal/intake"
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
	for _, path := range films { // before anything is made for them
		if err := mayBeFilm(path); err != nil {
			return err
		}
	}
	p, stop, err := beside(ctx, *dir, io)
	if err != nil {
		return err
	}
	defer stop()
	into := func(id string) error {
		for _, path := range films {
			if err := p.addFilm(ctx, io, id, path); err != nil {
				return err
			}
		}
		return nil
	}
	if *id != "" {
		return into(*id)
	}
	pen, debut, err := p.newBullpen(ctx, *label, *title)
	if err != nil {
		return err
	}
	fmt.Fprintf(io.out, "bullpen %s\n", pen.ID)
	if err := into(pen.ID); err != nil {
		return errors.Join(err, p.takeBack(context.WithoutCancel(ctx), pen, debut))
	}
	return nil
}

// mayBeFilm refuses what is there and can't be a film, without opening it: a pipe would
// be waited for.
func mayBeFilm(path string) error {
	info, err := os.Stat(path)
	if err != nil {
		return bullpen.Errorf(bullpen.NotFound, "The film %s can't be opened.", path)
	}
	what := ""
	switch mode := info.Mode(); {
	case mode.IsDir():
		what = "a folder"
	case mode&os.ModeNamedPipe != 0:
		what = "a pipe"
	case mode&os.ModeDevice != 0:
		what = "a device"
	case !mode.IsRegular():
		what = "no file"
	case info.Size() == 0:
		what = "empty"
	default:
		return nil
	}
	return bullpen.Errorf(bullpen.Invalid, "%s is %s, not a film; name the film's own file.", path, what)
}

// errNotEmpty says that there is something in a bullpen.
var errNotEmpty = errors.New("there is something in it")

// takeBack removes a bullpen that was begun for films of which none came in, and the
// pitcher, if this was her debut. What has anything in it stays.
func (p *Program) takeBack(ctx context.Context, pen bullpen.Bullpen, debut bool) error {
	films, err := p.store.Films(ctx, pen.ID)
	if err != nil {
		return err
	}
	for _, f := range films {
		if f.State != bullpen.FilmRefused {
			return nil
		}
	}
	onlyThat := func(r intake.Removed) error {
		if r.Bullpens != 1 || r.Films != len(films) || r.Reps+r.Clips+r.Copies+r.Slips+r.Shares+r.Typed+len(r.HomeworkIDs) > 0 {
			return errNotEmpty
		}
		return nil
	}
	if debut {
		if _, err = p.intake.RemovePitcher(ctx, pen.PitcherID, 0, onlyThat); !errors.Is(err, errNotEmpty) {
			return err
		}
	}
	_, err = p.intake.RemoveBullpen(ctx, pen.ID, 0, onlyThat)
	if errors.Is(err, errNotEmpty) {
		return nil
	}
	return err
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
		if p, err = connect(ctx, d, log); err != nil {
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

// newBullpen begins a bullpen of the pitcher with that label, or of a new one, whose
// debut it is then.
func (p *Program) newBullpen(ctx context.Context, label, title string) (pen bullpen.Bullpen, debut bool, err error) {
	pitchers, err := p.store.Pitchers(ctx)
	if err != nil {
		return pen, false, err
	}
	for _, known := range pitchers {
		if known.Label == label {
			pen := known.Begin(today())
			pen.Title = title
			pen, err = p.store.AddBullpen(ctx, pen, false)
			return pen, false, err
		}
	}
	level, err := p.store.Level(ctx, bullpen.UsualLevel)
	if err != nil {
		return pen, false, err
	}
	her := bullpen.NewPitcher(label, level.Level)
	pen = her.Begin(today())
	pen.Title = title
	_, pen, err = p.store.AddBullpenFor(ctx, her, pen, false)
	return pen, true, err
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
