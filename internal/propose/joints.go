package propose

import (
	"context"
	"encoding/json"
	"log/slog"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/posture"
	"tenoff/internal/store"
)

// JointsKind is the kind of job that looks for her joints round a film's reps. Its subject
// is not the film itself: no other work on the film waits for it.
const JointsKind = "find joints"

// jointsOf is the subject of a film's job of JointsKind.
func jointsOf(filmID string) string { return filmID + "/joints" }

// How much of a film is looked at for her joints, real seconds before and after each
// release: from her set position on until the arm has run out.
const (
	beforeRelease = 1.3
	afterRelease  = 0.35
)

// moved is by how much of a run's length a release may move, with what was found still
// being of it.
const moved = 0.1

// atOnce is how many deliveries a job looks at; what is left is another job's, so that
// others on the same film get their turn.
const atOnce = 4

// Finder finds where her joints are in runs of a film's frames, from and to each, and hands
// each run's track on as soon as it is found. It ends with the first error of found.
type Finder func(ctx context.Context, f store.Film, runs [][2]int, found func(run int, track posture.Track) error, progress func(done float64)) error

// Joints has joints looked for round the deliveries of films. Its methods may be used by
// several goroutines.
type Joints struct {
	store   *store.Store
	find    Finder
	version int
	log     *slog.Logger

	seen sightsSeen
}

// NewJoints returns the search that find does, by a method of the given version. A nil
// find is a machine that can't: then nothing is looked for, and what is waiting is done
// without.
func NewJoints(s *store.Store, find Finder, version int, log *slog.Logger) *Joints {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	return &Joints{store: s, find: find, version: version, log: log}
}

// FollowChanges has joints looked for round every delivery that becomes known, until ctx
// ends. It begins with bullpens that were not looked through while nobody listened.
func (j *Joints) FollowChanges(ctx context.Context) error {
	if j.find == nil {
		<-ctx.Done()
		return nil
	}
	change := func(ctx context.Context, bullpenID string) {
		if err := j.followChange(ctx, bullpenID); err != nil && ctx.Err() == nil {
			j.log.WarnContext(ctx, "joints are not looked for", "bullpen", bullpenID, "err", err)
		}
	}
	j.store.Follow(ctx, j.store.FilmedBullpens, change, func(err error) {
		j.log.WarnContext(ctx, "which films joints have to be looked for in can't be read", "err", err)
	})
	return nil
}

func (j *Joints) followChange(ctx context.Context, bullpenID string) error {
	films, err := j.store.Films(ctx, bullpenID)
	j.lookAll(ctx, slices.DeleteFunc(films, func(f store.Film) bool { return f.State != bullpen.FilmReady }))
	return err
}

// lookAll looks at films; one that can't be looked at holds no other back.
func (j *Joints) lookAll(ctx context.Context, films []store.Film) {
	for _, f := range films {
		if err := j.look(ctx, f); err != nil && ctx.Err() == nil {
			j.log.WarnContext(ctx, "joints are not looked for", "film", f.ID, "err", err)
		}
	}
}

// look queues a search in a film in which there is something to look for, unless one has
// failed or was cancelled and nobody has asked for another.
func (j *Joints) look(ctx context.Context, f store.Film) error {
	due, err := j.due(ctx, f)
	if err != nil || len(due) == 0 {
		return err
	}
	all, err := j.store.Jobs(ctx, f.BullpenID)
	if err != nil || slices.ContainsFunc(all, func(o store.Job) bool { return o.Kind == JointsKind && o.Subject == jointsOf(f.ID) }) {
		return err
	}
	if state, err := j.store.LastJob(ctx, JointsKind, jointsOf(f.ID)); err != nil || state == store.JobCancelled {
		return err
	}
	return j.queue(ctx, f, 0)
}

// jointsProgress is a job's payload: the film, and how many of its deliveries were looked at by the
// jobs before it.
type jointsProgress struct {
	Film string `json:"film"`
	Done int    `json:"done,omitempty"`
}

func (j *Joints) queue(ctx context.Context, f store.Film, done int) error {
	payload, err := json.Marshal(jointsProgress{f.ID, done})
	if err != nil {
		return err
	}
	_, err = j.store.AddJob(ctx, store.NewJob{Kind: JointsKind, Subject: jointsOf(f.ID), BullpenID: f.BullpenID, Payload: string(payload)})
	return err
}

// due returns the runs of a film that are to be looked at and were not: those round its
// reps and round what is proposed for sure.
func (j *Joints) due(ctx context.Context, f store.Film) (due [][2]int, err error) {
	reps, err := j.store.Reps(ctx, f.BullpenID)
	if err != nil {
		return nil, err
	}
	proposals, err := j.store.Proposals(ctx, f.BullpenID)
	if err != nil {
		return nil, err
	}
	had, err := j.store.JointsSeen(ctx, f.BullpenID)
	if err != nil {
		return nil, err
	}
	var releases []int
	for _, r := range reps {
		if r.FilmID == f.ID {
			releases = append(releases, r.Release)
		}
	}
	for _, p := range proposals {
		if p.FilmID == f.ID && p.State == store.ProposalOpen && p.Confidence > Sure {
			releases = append(releases, p.Release)
		}
	}
	for _, run := range runs(f.Clock, releases) {
		slack := int(moved * float64(run[1]-run[0]))
		if slices.ContainsFunc(had, func(h store.Joints) bool {
			return h.FilmID == f.ID && h.Version == j.version && h.First <= run[0]+slack && h.Last >= run[1]-slack
		}) {
			continue
		}
		due = append(due, run)
	}
	return due, nil
}

// runs returns the frames round releases, from and to, in order. Those that touch are
// one.
func runs(c bullpen.Clock, releases []int) [][2]int {
	slices.Sort(releases)
	var out [][2]int
	for _, r := range releases {
		if r < 0 || r >= c.Frames() {
			continue
		}
		at, slow := c.FileSeconds(r), c.SlowFactor()
		run := [2]int{c.At(at - beforeRelease*slow), c.At(at + afterRelease*slow)}
		if n := len(out); n > 0 && run[0] <= out[n-1][1] {
			out[n-1][1] = max(out[n-1][1], run[1])
			continue
		}
		out = append(out, run)
	}
	return out
}

// FindJoints is the handler of jobs of JointsKind. What was found of a delivery is kept at
// once; a job that starts over goes on from there.
func (j *Joints) FindJoints(ctx context.Context, job store.Job, progress func(done float64)) error {
	if j.find == nil {
		return nil
	}
	var before jointsProgress
	if err := json.Unmarshal([]byte(job.Payload), &before); err != nil {
		return err
	}
	f, err := j.store.Film(ctx, before.Film)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil || f.State != bullpen.FilmReady {
		return err
	}
	due, err := j.due(ctx, f)
	if err != nil {
		return err
	}
	if len(due) == 0 {
		return nil
	}
	now := due[:min(len(due), atOnce)]
	share := func(done float64) {
		progress((float64(before.Done) + done*float64(len(now))) / float64(before.Done+len(due)))
	}
	err = j.find(ctx, f, now, func(run int, track posture.Track) error {
		return j.store.KeepJoints(ctx, store.Joints{FilmID: f.ID, First: now[run][0], Last: now[run][1], Version: j.version, Poses: track.Pack()}, f.Box)
	}, share)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	if err != nil && ctx.Err() == nil && bullpen.CodeOf(err) == bullpen.Internal {
		return &bullpen.Error{Code: bullpen.Internal, Message: "Her joints could not be looked for in “" + f.Name + "”; everything else of the film stands. Try again, and if it fails again, see whether the film still plays.", Err: err}
	}
	if err != nil {
		return err
	}
	// What is left, and what became known meanwhile.
	if due, err = j.due(ctx, f); err != nil || len(due) == 0 {
		return err
	}
	return j.queue(ctx, f, before.Done+len(now))
}

// Round returns the run of frames round a frame of a film and where her joints are in it.
// Where nothing was looked at, track is nil and the run is the gap round the frame.
func (j *Joints) Round(ctx context.Context, f store.Film, frame int) (from, to int, track posture.Track, err error) {
	from, to = 0, f.Clock.Frames()-1
	all, err := j.store.Joints(ctx, f.ID)
	if err != nil {
		return from, to, nil, err
	}
	for _, x := range all {
		switch {
		case x.Version != j.version:
		case x.Last < frame:
			from = max(from, x.Last+1)
		case x.First > frame:
			to = min(to, x.First-1)
		default:
			track, err = posture.Unpack(x.Poses, f.Clock)
			return x.First, x.Last, track, err
		}
	}
	return from, to, nil, nil
}
