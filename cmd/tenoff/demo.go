package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"slices"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/disk"
	"tenoff/internal/propose"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// demoFilm is what the drawn film is called.
const demoFilm = "bullpen.mp4"

// showDemo makes the demo bullpen if there is none and serves it. It has a data folder of
// its own, and where pitchers are that no demo made it makes nothing, so that it never mixes
// with real ones.
func showDemo(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	at := placeFlags(flags)
	at.dir = defaultData("tenoff-demo")
	flags.Lookup("data").DefValue = at.dir
	address := flags.String("listen", defaultListen, "where to listen: HOST:PORT of this machine, port 0 for any free one")
	once := flags.Bool("once", false, "make the demo season with all its clips, then end")
	verbose := flags.Bool("verbose", false, "log every request")
	if _, err := parse(flags, args, 0); err != nil {
		return err
	}
	if err := needFFmpeg(ctx); err != nil {
		return err
	}
	var l net.Listener
	if !*once {
		var err error
		if l, err = listen(ctx, *address); err != nil {
			return err
		}
		defer l.Close()
	}
	p, err := NewProgramOn(ctx, *at, newLog(io, level(*verbose, slog.LevelWarn)))
	if err != nil {
		return err
	}
	defer p.Close()
	if err := p.onlyDemo(ctx); err != nil {
		return err
	}
	if err := p.keepTime(ctx, ""); err != nil {
		return err
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	ended := make(chan error, 1)
	go func() {
		defer stop()
		ended <- p.Run(ctx, l)
	}()
	err = p.makeSeason(ctx, io, demo.Seasons(time.Now()))
	for _, filmed := range []func() (bullpen.Pitcher, bullpen.Bullpen, demo.Options){demo.Bullpen, demo.SameBody} {
		if err == nil {
			her, pen, options := filmed()
			err = p.makeDemo(ctx, io, scenario{her, pen, options}, *once)
		}
	}
	switch {
	case err != nil || *once:
		stop()
	default:
		fmt.Fprintf(io.out, "the demo is at http://%s (data in %s); stop it with Ctrl-C\n", l.Addr(), at)
	}
	ran := <-ended
	if errors.Is(err, context.Canceled) && ran == nil && !*once {
		return nil // told to stop while it was still drawing
	}
	return errors.Join(err, ran)
}

// onlyDemo refuses to go on where any instructor has pitchers and none of them is a demo's.
func (p *Program) onlyDemo(ctx context.Context) error {
	var pitchers int
	var made bool
	err := p.store.InEach(ctx, func(ctx context.Context) error {
		all, err := p.store.Pitchers(ctx)
		for _, known := range all {
			cards, err := p.store.AllBullpens(ctx, known.ID)
			if err != nil {
				return err
			}
			pitchers++
			made = made || slices.ContainsFunc(cards, func(c store.BullpenCard) bool { return demo.IsDemo(c.Note) }) ||
				len(cards) == 0 && len(all) == 1 && slices.ContainsFunc(demo.Seasons(time.Now()), func(s demo.Season) bool { return s.Pitcher.Label == known.Label }) // it broke off
		}
		return err
	})
	if err == nil && pitchers > 0 && !made {
		return bullpen.Errorf(bullpen.Conflict, "Here are pitchers that no demo made, and the demo invents some: it makes nothing beside them. Give it a --data or a --store of its own.")
	}
	return err
}

// scenario is a bullpen that was never thrown: who throws, when, and how it is
// filmed.
type scenario struct {
	pitcher bullpen.Pitcher
	pen     bullpen.Bullpen
	options demo.Options
}

// makeDemo makes what is missing of the demo bullpen, through the same doors as any
// other: a film that arrives and is read, reps, clips. What somebody changed in it
// stays as it is.
func (p *Program) makeDemo(ctx context.Context, io streams, s scenario, wait bool) error {
	pen, err := p.demoBullpen(ctx, s.pitcher, s.pen)
	if err != nil {
		return err
	}
	take, err := demo.Plan(s.options)
	if err != nil {
		return err
	}
	film, err := p.demoFilm(ctx, io, take, pen.ID)
	if err != nil {
		return err
	}
	if err := p.demoReps(ctx, take.Truth(), pen.ID, film.ID); err != nil {
		return err
	}
	// The instants are found before the clips are made: they are part of what clips
	// show.
	if err := p.awaitJobs(ctx, pen.ID); err != nil {
		return err
	}
	if err := p.demoClips(ctx, io, pen.ID); err != nil || !wait {
		return err
	}
	return p.awaitJobs(ctx, pen.ID)
}

// awaitJobs waits until no job of a bullpen is left to do, and none is due.
func (p *Program) awaitJobs(ctx context.Context, bullpenID string) error {
	return p.await(ctx, func() (bool, error) {
		unfinished, err := p.store.Jobs(ctx, bullpenID)
		unfinished = slices.DeleteFunc(unfinished, func(j store.Job) bool { return j.Kind == propose.JointsKind }) // nothing hangs on it
		for _, j := range unfinished {
			if j.State == store.JobFailed {
				return false, bullpen.Errorf(bullpen.Internal, "%s", j.Problem)
			}
		}
		if len(unfinished) > 0 || err != nil {
			return false, err
		}
		due, err := p.proposer.Due(ctx, bullpenID)
		return !due, err
	})
}

// demoBullpen finds the demo bullpen, or begins it.
func (p *Program) demoBullpen(ctx context.Context, her bullpen.Pitcher, pen bullpen.Bullpen) (bullpen.Bullpen, error) {
	known, cards, ok, err := p.demosOwn(ctx, her.Label)
	if err != nil {
		return pen, err
	}
	pen.Day = today()
	if ok {
		for _, c := range cards {
			if c.Note == pen.Note && c.Title == pen.Title {
				return c.Bullpen, nil
			}
		}
		pen.PitcherID = known.ID
		return p.store.AddBullpen(ctx, pen, true)
	}
	// The day is today's, whatever its film says: the season leads up to it.
	_, pen, err = p.store.AddBullpenFor(ctx, her, pen, true)
	return pen, err
}

// demoFilm finds the bullpen's film, or draws it and sends it in; then waits until
// it was read.
func (p *Program) demoFilm(ctx context.Context, io streams, take *demo.Take, bullpenID string) (store.Film, error) {
	films, err := p.store.Films(ctx, bullpenID)
	if err != nil {
		return store.Film{}, err
	}
	var film store.Film
	if len(films) > 0 {
		film = films[0]
	} else {
		fmt.Fprintln(io.out, "drawing a bullpen’s film: this takes about a minute, once")
		if film, err = p.draw(ctx, take, bullpenID); err != nil {
			return film, err
		}
	}
	if film.State == bullpen.FilmReady {
		return film, nil
	}
	fmt.Fprintln(io.out, "reading its film")
	if err := p.awaitFilm(ctx, film.ID); err != nil {
		return film, err
	}
	if film, err = p.store.Film(ctx, film.ID); err != nil {
		return film, err
	}
	film.View = take.Truth().View
	return p.store.SaveFilm(ctx, film.Film)
}

func (p *Program) draw(ctx context.Context, take *demo.Take, bullpenID string) (store.Film, error) {
	desk, err := p.blobs.TempDir()
	if err != nil {
		return store.Film{}, err
	}
	defer disk.RemoveAll(desk)
	path := filepath.Join(desk, demoFilm)
	if err := take.Write(ctx, path); err != nil {
		return store.Film{}, err
	}
	f, err := os.Open(path)
	if err != nil {
		return store.Film{}, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return store.Film{}, err
	}
	film, _, err := p.intake.Receive(ctx, bullpenID, demoFilm, info.Size(), f)
	return film, err
}

// demoReps logs every rep as it really was, if none is logged.
func (p *Program) demoReps(ctx context.Context, truth demo.Truth, bullpenID, filmID string) error {
	have, err := p.store.Reps(ctx, bullpenID)
	if err != nil || len(have) > 0 {
		return err
	}
	for _, t := range truth.Reps {
		rep := t.Rep(filmID)
		rep.BullpenID = bullpenID
		if _, _, err := p.store.AddRep(ctx, rep); err != nil {
			return err
		}
	}
	return nil
}

// demoClips queues a clip of every rep and a side by side of the first off-speed
// one, if the shelf is empty.
func (p *Program) demoClips(ctx context.Context, io streams, bullpenID string) error {
	have, err := p.store.Clips(ctx, bullpenID)
	if err != nil || len(have) > 0 {
		return err
	}
	reps, err := p.store.Reps(ctx, bullpenID)
	if err != nil {
		return err
	}
	fmt.Fprintln(io.out, "making its clips")
	if _, _, err := p.shelf.Make(ctx, bullpenID, nil, shelf.Options{}); err != nil {
		return err
	}
	for _, r := range reps {
		if t, _ := bullpen.TypeOf(r.Pitch); t.Band != nil {
			_, err := p.shelf.MakePair(ctx, r.ID, "", shelf.Options{Speed: 0.25, Phases: true, Body: true})
			return err
		}
	}
	return nil
}
