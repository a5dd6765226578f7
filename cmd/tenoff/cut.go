package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/clip"
	"tenoff/internal/disk"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/ledger"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// cutting is what `tenoff cut` was asked for.
type cutting struct {
	out      string
	pitcher  bullpen.Pitcher
	pen      bullpen.Bullpen
	slowed   float64 // 0: as the film says
	window   clip.Window
	repeat   bool
	pair     bool
	speed    float64
	label    string
	baseline float64
}

// cut makes captioned clips and a summary of one film and a list of its reps,
// without a server or a database.
func cut(ctx context.Context, io streams, flags *flag.FlagSet, args []string) error {
	var c cutting
	flags.StringVar(&c.out, "out", "", "the folder for clips, summary.json and reps.csv (needed)")
	flags.BoolVar(&c.pair, "pair", false, "add a side by side for each off-speed rep, with the fastball nearest the baseline")
	unit := flags.String("unit", "mph", "the unit of readings that don't say theirs, and of captions: mph or km/h")
	gun := flags.String("gun", string(bullpen.BehindCatcher), "where the gun stood: behind catcher, behind pitcher or beside pitcher")
	step := flags.Float64("step", 1, "the gun display's step")
	level := flags.String("level", bullpen.UsualLevel, "her level, for the distance and the ball")
	flags.StringVar(&c.label, "label", "", "burn this into the clips, for instance her nickname")
	flags.Float64Var(&c.baseline, "baseline", 0, "count gaps from this speed, in --unit, not from her fastballs' mean")
	flags.Float64Var(&c.slowed, "slowed", 0, "how many times slower than filmed the film plays; unless said, what the film says")
	flags.BoolVar(&c.repeat, "slow", false, "repeat the last half second before release at quarter speed")
	flags.Float64Var(&c.window.Before, "before", 2.5, "seconds before release")
	flags.Float64Var(&c.window.After, "after", 1.5, "seconds after release")
	flags.Float64Var(&c.speed, "speed", 0.25, "a side by side's played rate: 1, 0.5, 0.25 or 0.125")
	options := flags.Usage
	flags.Usage = func() {
		options()
		fmt.Fprintln(io.err, "Clips are for her and her parents: what reps.csv calls too firm, soft and too soft is too fast, a bit slow and too slow in them.")
	}
	rest, err := parse(flags, args, 2)
	if err != nil {
		return err
	}
	if c.out == "" {
		return usageError{sentence: "say where the clips go with --out DIR"}
	}
	if err := c.set(*unit, *gun, *level, *step); err != nil {
		return err
	}
	if err := needFFmpeg(ctx); err != nil {
		return err
	}
	return c.run(ctx, io, rest[0], rest[1])
}

// set checks the words that were given and makes a pitcher and a bullpen of them.
func (c *cutting) set(unit, gun, level string, step float64) error {
	u := bullpen.Unit(unit)
	if unit == "kmh" {
		u = bullpen.KMH
	}
	if u != bullpen.MPH && u != bullpen.KMH {
		return usageError{sentence: "--unit is mph or km/h"}
	}
	place := bullpen.GunPlace(gun)
	switch place {
	case bullpen.BehindCatcher, bullpen.BehindPitcher, bullpen.BesidePitcher:
	default:
		return usageError{sentence: "--gun is behind catcher, behind pitcher or beside pitcher"}
	}
	l, ok := bullpen.LevelOf(level)
	if !ok {
		return usageError{sentence: fmt.Sprintf("there is no level %q; `tenoff cut -h` shows one", level)}
	}
	if !(step > 0 && step <= 1) || c.slowed < 0 || c.baseline < 0 {
		return usageError{sentence: "--step lies above 0 and up to 1; --slowed and --baseline are above 0"}
	}
	c.pitcher = bullpen.NewPitcher(c.label, l)
	c.pitcher.Unit = u
	if c.baseline > 0 {
		c.pitcher.Policy, c.pitcher.TypedBaseline = bullpen.Typed, bullpen.SpeedOf(c.baseline, u)
	}
	c.pen = bullpen.Bullpen{Gun: place, Unit: u, Step: step}
	return nil
}

func (c *cutting) run(ctx context.Context, io streams, filmPath, repsPath string) error {
	lines, err := c.readLines(repsPath)
	if err != nil {
		return err
	}
	if filmPath, err = filepath.Abs(filmPath); err != nil {
		return err
	}
	if err := mayBeFilm(filmPath); err != nil {
		return err
	}
	if err := os.MkdirAll(c.out, 0o755); err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "The folder " + c.out + " can't be made; check that you may write there.", Err: err}
	}
	facts, err := film.Probe(ctx, filmPath, filepath.Base(filmPath))
	if err != nil {
		return err
	}
	if c.slowed > 0 {
		facts.Clock.Slow, facts.SlowKnown = c.slowed, true
	}
	// The film is read as the server reads it, so that a frame's number means the
	// same picture in both. What else that makes is thrown away.
	desk, err := os.MkdirTemp(c.out, ".reading-")
	if err != nil {
		return err
	}
	defer disk.RemoveAll(desk)
	fmt.Fprintf(io.err, "reading %s\n", facts.Name)
	made, err := film.Read(ctx, filmPath, facts, desk, nil)
	if err != nil {
		return err
	}
	source := clip.Source{
		Path: filmPath, Cut: made.Cut, Clock: made.Clock, Width: facts.Width, Height: facts.Height, HDR: facts.HDR(),
	}
	if made.Cut.File != "" {
		if source.Path, err = filepath.Abs(filepath.Join(desk, made.Cut.File)); err != nil {
			return err
		}
	}
	s, err := c.session(facts, made.Clock, lines)
	if err != nil {
		return err
	}
	for i, n := range s.Sheet.Reps {
		if n.Doubt != "" {
			fmt.Fprintf(io.err, "Line %d: %s\n", lines[i].Line, n.Doubt)
		}
	}
	return c.write(ctx, io, source, s)
}

func (c *cutting) readLines(path string) ([]ledger.Line, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, bullpen.Errorf(bullpen.NotFound, "The list of reps %s can't be opened.", path)
	}
	defer f.Close()
	return ledger.ReadReps(f, ledger.Defaults{Unit: c.pen.Unit, Step: c.pen.Step, Gun: c.pen.Gun})
}

// session makes a bullpen of the list and judges it.
func (c *cutting) session(facts film.Facts, clock bullpen.Clock, lines []ledger.Line) (ledger.Session, error) {
	// A line that names another film counts in the numbers and has no clip.
	f := bullpen.Film{ID: "film", Name: facts.Name, Clock: clock, Recorded: facts.Recorded, State: bullpen.FilmReady}
	c.pen.Day = cmp.Or(dayOf(facts.Recorded), today())
	var reps []bullpen.Rep
	for i, l := range lines {
		r := bullpen.Rep{
			ID: fmt.Sprint(i + 1), Order: i + 1,
			Drive: bullpen.Unmarked, Plant: bullpen.Unmarked, Top: bullpen.Unmarked, Release: bullpen.Unmarked,
		}
		l.Into(&r)
		if l.Film == "" || l.Film == f.Name {
			at, ok, err := release(clock, l)
			if err != nil {
				return ledger.Session{}, err
			}
			if ok {
				r.FilmID, r.Release = f.ID, at
			}
		}
		reps = append(reps, r)
	}
	b := judged.Of(judged.Facts{Pitcher: c.pitcher, Pen: c.pen, Films: []store.Film{{Film: f}}, Reps: reps})
	b.Body = tempo.Assessment{} // a list has releases only, which tell nothing of the body
	return ledger.Session{Bullpen: b, Clips: map[string]string{}}, nil
}

// release returns the frame that a line marks; ok is false for a rep that was not
// filmed.
func release(clock bullpen.Clock, l ledger.Line) (frame int, ok bool, err error) {
	last := clock.Frames() - 1
	switch {
	case l.Frame != bullpen.Unmarked:
		if l.Frame > last {
			return 0, false, bullpen.Errorf(bullpen.Invalid, "Line %d: frame %d lies after the end of the film, whose last is %d.", l.Line, l.Frame, last)
		}
		return l.Frame, true, nil
	case l.Seconds != nil:
		if end := clock.Seconds(); *l.Seconds > end {
			return 0, false, bullpen.Errorf(bullpen.Invalid, "Line %d: second %v lies after the end of the film, at %.2f.", l.Line, *l.Seconds, end)
		}
		return clock.At(*l.Seconds), true, nil
	}
	return 0, false, nil
}
