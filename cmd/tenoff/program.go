package main

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"sync"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/field"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/jobs"
	"tenoff/internal/joints"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/server"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
	"tenoff/internal/vitals"
	"tenoff/web"
)

// Program is tenoff at work on one data folder: everything wired. Run does the
// work, Close releases the folder.
type Program struct {
	*data
	held     io.Closer
	intake   *intake.Intake
	judged   *judged.Bullpens
	shelf    *shelf.Shelf
	proposer *propose.Proposer
	field    *field.Field
	joints   *propose.Joints
	queue    *jobs.Queue
	log      *slog.Logger

	homework *homework.Homework
	access   server.Access // zero: this machine only
	vitals   *vitals.Vitals
	node     node          // zero: it does everything
	watching net.Listener  // where vitals are told; nil for nowhere
	finish   time.Duration // for tests: see until
}

// NewProgramOn is NewProgram for a place; a database that several programs share is none
// that one of them clears up before it begins, see leads.
func NewProgramOn(ctx context.Context, at place, log *slog.Logger) (*Program, error) {
	if err := at.check(); err != nil {
		return nil, err
	}
	if at.rows == "" {
		return NewProgram(ctx, at.dir, log)
	}
	if err := sweepScratch(os.TempDir(), time.Now().Add(-justMade)); err != nil {
		log.WarnContext(ctx, "copies of films that a killed command left can't be removed; it is tried again at the next start", "err", err)
	}
	open := at.open
	if at.files != "" {
		open = at.openBucket
	}
	d, err := open(ctx, orNew)
	if err != nil {
		return nil, err
	}
	p, err := connect(ctx, d, log)
	if err != nil {
		return nil, errors.Join(err, d.Close())
	}
	return p, nil
}

// NewProgram opens a data folder, makes it if it is missing, and clears away what a
// program that ended without warning left half made. It fails when another program
// works on the folder.
func NewProgram(ctx context.Context, dir string, log *slog.Logger) (*Program, error) {
	held, err := hold(dir)
	if err != nil {
		return nil, err
	}
	d, err := openData(ctx, dir, orNew)
	if err != nil {
		return nil, errors.Join(err, held.Close())
	}
	p, err := connect(ctx, d, log)
	if err != nil {
		return nil, errors.Join(err, d.Close(), held.Close())
	}
	p.held = held
	if err := p.intake.Sweep(ctx); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	if err := p.shelf.CopyAnswers(ctx); err != nil { // a full disk must not keep her from making room
		log.WarnContext(ctx, "clips of old answers can't be copied; it is tried again at the next start", "err", err)
	}
	if err := p.proposer.Refresh(ctx); err != nil {
		return nil, errors.Join(err, p.Close())
	}
	return p, nil
}

// workers is how many jobs run at once: as many as all kinds may together, so that no
// kind waits for another.
const workers = 9

// connect puts everything together over a data folder.
func connect(ctx context.Context, d *data, log *slog.Logger) (_ *Program, err error) {
	p := &Program{data: d, log: log}
	p.vitals = vitals.New(d.store, d.blobs, []string{intake.Kind, intake.LongKind}, version())
	p.queue = jobs.New(d.store, jobs.Options{Log: log, Workers: workers, Ended: p.vitals.Ended})
	p.intake = intake.New(d.store, d.blobs, intake.Options{Log: log})
	p.proposer = propose.New(d.store, d.blobs, p.intake.Measure, log)
	p.intake.Seen = p.proposer.ProposeSeen
	p.field = field.New(d.store, log)
	p.joints = propose.NewJoints(d.store, jointsFinder(d), joints.Version, log)
	p.proposer.Witness(p.joints)
	p.judged = judged.New(d.store, p.proposer)
	p.shelf = shelf.New(d.store, d.blobs, p.judged, p.intake.Cutting)
	if p.homework, err = d.uploads(p.intake, log); err != nil {
		return nil, err
	}
	if err := p.homework.Serve(ctx); err != nil {
		return nil, err
	}
	p.queue.Handle(intake.OpenKind, 1, p.openFilm)
	p.queue.Handle(intake.Kind, 1, p.readFilm)
	p.queue.Handle(intake.LongKind, 1, p.readFilm)
	p.queue.Handle(propose.RepsKind, 1, p.proposer.FindReps)
	p.queue.Handle(propose.InstantsKind, 1, p.proposer.FindInstants)
	p.queue.Handle(field.Kind, 1, p.field.Find)
	p.queue.Handle(propose.JointsKind, 1, p.joints.FindJoints)
	p.queue.Handle(shelf.Kind, 2, p.shelf.Render)
	return p, nil
}

// openFilm opens a film and proposes what may be reps by its sound, for as long as it
// is being read. That it can't be listened to is said when it was read.
func (p *Program) openFilm(ctx context.Context, job store.Job, progress func(done float64)) error {
	if err := p.intake.OpenFilm(ctx, job, progress); err != nil {
		return err
	}
	f, facts, err := p.intake.Listen(ctx, job.Subject)
	if err == nil && facts.Heard != nil {
		err = p.proposer.ProposeHeard(ctx, f, facts.Heard)
	}
	if err != nil && ctx.Err() == nil && bullpen.CodeOf(err) != bullpen.NotFound {
		p.log.WarnContext(ctx, "nothing is proposed by a film's sound", "film", job.Subject, "err", err)
	}
	return nil
}

// readFilm reads a film and has its reps looked for. Where that can't be asked for, since the
// database is away or busy, the job goes back: a film that was read is not read again.
func (p *Program) readFilm(ctx context.Context, job store.Job, progress func(done float64)) error {
	if err := p.intake.ReadFilm(ctx, job, progress); err != nil {
		return err
	}
	err := p.proposer.SearchRead(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound || errors.Is(err, propose.ErrUnread) { // removed meanwhile, or refused
		return nil
	}
	return err
}

// Close releases the data folder.
func (p *Program) Close() error {
	err := p.data.Close()
	if p.held != nil {
		err = errors.Join(err, p.held.Close())
	}
	return err
}

// goodbye is how long a request under way may take once the program is stopping.
const goodbye = 5 * time.Second

// Run does the jobs and serves on l, which may be nil, until ctx ends or one of
// its parts fails; where several programs share the work, its part of it. What is under way
// when it ends goes back at once, for whoever takes it next. Answers go on for a while, see
// serve.
func (p *Program) Run(ctx context.Context, l net.Listener) error {
	collectSeldom()
	served := make(chan struct{})
	parts := []part{after(served, func(ctx context.Context) error { return p.store.Listen(ctx, p.log) })}
	once := []part{p.proposer.FollowChanges, p.field.FollowChanges, p.joints.FollowChanges, func(ctx context.Context) error { return p.store.Tend(ctx, p.log) }}
	if l != nil {
		parts = append(parts, func(ctx context.Context) error {
			defer close(served)
			return p.serve(ctx, l)
		})
	} else {
		close(served)
	}
	if l != nil || p.node.role == roleWork {
		once = append(once, p.homework.Tend, p.judged.Tend)
	}
	if p.watching != nil {
		parts = append(parts, after(served, func(ctx context.Context) error {
			return watched(ctx, p.watching, p.vitals, p.node.token, p.log)
		}))
	}
	if !p.store.Ours() {
		once = append(once, p.leads)
	}
	if p.node.role.works() {
		parts = append(parts, p.queue.Run, func(ctx context.Context) error {
			return p.store.Alone(ctx, p.log, "what one program does for all", func(ctx context.Context) error { return together(ctx, once) })
		})
	}
	err := together(ctx, parts)
	p.cleanLast(ctx)
	return err
}

// after is a part that goes on when its context ends, until done is closed as well.
func after(done <-chan struct{}, do part) part {
	return func(ctx context.Context) error {
		longer, stop := context.WithCancel(context.WithoutCancel(ctx))
		defer stop()
		go func() {
			select {
			case <-ctx.Done():
			case <-longer.Done():
				return
			}
			<-done
			stop()
		}()
		return do(longer)
	}
}

// leads clears up as long as this is the one program of several that does.
func (p *Program) leads(ctx context.Context) error {
	again := time.NewTicker(time.Hour)
	defer again.Stop()
	for {
		if err := errors.Join(p.intake.SweepOld(ctx), p.shelf.CopyAnswers(ctx), p.proposer.Refresh(ctx)); err != nil && ctx.Err() == nil {
			p.log.WarnContext(ctx, "what others left can't be cleared up; it is tried again", "err", err)
		}
		select {
		case <-ctx.Done():
			return nil
		case <-again.C:
		}
	}
}

// part is something that a program does until its context ends.
type part func(context.Context) error

// together runs parts until ctx ends or one of them does, and waits for all.
func together(ctx context.Context, parts []part) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	var work sync.WaitGroup
	failed := make(chan error, len(parts))
	for _, part := range parts {
		work.Go(func() {
			defer stop()
			failed <- part(ctx)
		})
	}
	work.Wait()
	close(failed)
	var err error
	for e := range failed {
		err = errors.Join(err, e)
	}
	return err
}

// cleanLast cleans away what was deleted just before the program stops, if that does
// not take long; otherwise it is due at the next start.
func (p *Program) cleanLast(ctx context.Context) {
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), goodbye)
	defer cancel()
	if err := p.store.Clean(ctx); err != nil {
		p.log.InfoContext(ctx, "traces of what was deleted are cleaned away at the next start", "err", err)
	}
}

func (p *Program) serve(ctx context.Context, l net.Listener) error {
	handler := server.New(server.Deps{
		Version: version(), Log: p.log, Page: server.Page{Files: web.FS, Built: web.Built()},
		Store: p.store, Blobs: p.blobs, Jobs: p.queue, Intake: p.intake, Judged: p.judged, Shelf: p.shelf, Proposer: p.proposer, Joints: p.joints, Field: p.field, Homework: p.homework, Access: p.access,
		Answered: p.vitals.Answered,
	})
	s := &http.Server{
		Handler: p.vitals.Probes(secured(handler)),
		// No limit on a whole request: a film takes its time. Handlers set a deadline
		// for each read and each event.
		ReadHeaderTimeout: 10 * time.Second,
		IdleTimeout:       2 * time.Minute,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(p.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	// Whoever sends requests here learns of it first, then no more are taken.
	p.vitals.Leave()
	handler.Leave()
	if !p.store.Ours() {
		p.log.InfoContext(ctx, "stops: it goes on answering until others are asked", "for", p.node.leave)
		select {
		case err := <-ended:
			return err
		case <-time.After(p.node.leave):
		}
	}
	handler.Close()
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), p.until())
	defer cancel()
	err := s.Shutdown(ctx)
	if errors.Is(err, context.DeadlineExceeded) {
		err = s.Close()
	}
	if e := <-ended; !errors.Is(e, http.ErrServerClosed) {
		err = errors.Join(err, e)
	}
	return err
}

// await waits until done says that it is over, asking again at every change of the
// data. The queue must be running.
func (p *Program) await(ctx context.Context, done func() (bool, error)) error {
	changes, stop := p.store.Watch()
	defer stop()
	for {
		if over, err := done(); over || err != nil {
			return err
		}
		select {
		case <-ctx.Done():
			return context.Cause(ctx)
		case <-changes:
		case <-time.After(time.Second): // another program may be the one that works
		}
	}
}

// awaitFilm waits until a film was read and its reps were looked for, and fails with its
// sentence if it can't be used.
func (p *Program) awaitFilm(ctx context.Context, id string) error {
	return p.await(ctx, func() (bool, error) {
		f, err := p.store.Film(ctx, id)
		if err != nil {
			return false, err
		}
		if f.State == bullpen.FilmRefused {
			return false, bullpen.Errorf(bullpen.Refused, "%s", f.Refusal)
		}
		read, busy := f.State == bullpen.FilmReady, false
		all, err := p.store.Jobs(ctx, f.BullpenID)
		for _, j := range all {
			switch {
			case j.Subject != id:
			case j.State == store.JobQueued || j.State == store.JobRunning:
				busy = true
			case j.State == store.JobFailed && !read:
				return false, bullpen.Errorf(bullpen.Unavailable, "%s", j.Problem)
			}
		}
		return read && !busy, err
	})
}
