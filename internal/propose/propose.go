// Package propose looks for reps in films that have been read, and keeps what it
// finds as proposals: nothing counts in any number until somebody confirms it.
package propose

import (
	"context"
	"errors"
	"log/slog"
	"math"
	"strings"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// RepsKind is the kind of job that looks for reps; its subject is a film.
const RepsKind = "find reps"

// samePitchWithin is how many real seconds apart two releases are at least: a proposal nearer
// to a rep, or to one that was thrown out, is the same pitch.
const samePitchWithin = 1.2

// Unexplained is the reason of a stretch that moves like a delivery and fits no
// pattern: shown faintly, so that no rep is lost without a trace.
const Unexplained = "unexplained motion"

// WalkBack is the reason of a stretch on which she walks back to the rubber, as after her
// other reps: shown only to whoever looks at it.
const WalkBack = "walk back"

// IsRep reports whether what is proposed for a reason may be a rep.
func IsRep(reason string) bool { return reason != Unexplained && reason != WalkBack }

// Proposer finds reps. Its methods may be used by several goroutines.
type Proposer struct {
	store   *store.Store
	blobs   *blob.Store
	measure Measurer
	log     *slog.Logger
	joints  *Joints // a second witness of instants; nil: there is none

	hearing hearing
}

// Measurer measures a film's traces anew and puts them in the place of the old ones.
type Measurer func(ctx context.Context, filmID string, progress func(done float64)) error

// New returns a proposer over a store and its files. A nil log logs nothing.
func New(s *store.Store, blobs *blob.Store, measure Measurer, log *slog.Logger) *Proposer {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	return &Proposer{store: s, blobs: blobs, measure: measure, log: log}
}

// ErrUnread is in the cause of an error that says that a film can't be searched since it is
// not read: it is being read, or was refused.
var ErrUnread = errors.New("the film is not read")

// Search queues a job that looks for reps in a film, after anything that it hangs on was
// changed. A film that is not read is Unavailable, for ErrUnread.
func (s *Proposer) Search(ctx context.Context, filmID string) (store.Job, error) {
	return s.searchFilm(ctx, filmID, "")
}

// SearchRead is Search for a film that was just read.
func (s *Proposer) SearchRead(ctx context.Context, filmID string) error {
	_, err := s.searchFilm(ctx, filmID, besidePayload)
	return err
}

func (s *Proposer) searchFilm(ctx context.Context, filmID, payload string) (store.Job, error) {
	f, err := s.store.Film(ctx, filmID)
	if err != nil {
		return store.Job{}, err
	}
	if f.State != bullpen.FilmReady {
		unread := bullpen.Errorf(bullpen.Unavailable, "“%s” has not been read yet; wait until it is.", f.Name)
		unread.Err = ErrUnread
		return store.Job{}, unread
	}
	return s.store.AddJob(ctx, store.NewJob{Kind: RepsKind, Subject: filmID, BullpenID: f.BullpenID, Payload: payload})
}

// FindReps is the handler of jobs of the RepsKind. Releases that are marked on the film
// already say which motion is the delivery, and the others' releases are found from them,
// each with the spread to expect of it (trace.Candidate); so they are from those marked on
// the bullpen's other films that were taken from the same place, where none is marked on
// this one. Where somebody said where in the picture the pitcher is, nothing else is looked
// at.
func (s *Proposer) FindReps(ctx context.Context, job store.Job, progress func(done float64)) error {
	f, err := s.store.Film(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil || f.State != bullpen.FilmReady {
		return err
	}
	motion, sound, err := s.traces(ctx, f, func(done float64) { progress(0.8 * done) })
	if err != nil {
		return err
	}
	progress(0.8)
	reps, err := s.store.Reps(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	films, err := s.store.Films(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	beside := markedBeside(f, films, reps)
	beside = beside[:min(len(beside), fewMarked)]
	this := trace.Film{Motion: motion, Sound: sound, Marked: marked(f, reps)}
	if err := s.propose(ctx, f, this, s.markedFilms(ctx, beside, reps), strings.Join(foundBy(beside, reps), " ")); err != nil {
		return err
	}
	progress(0.9)
	if job.Payload == besidePayload && len(this.Marked) == 0 {
		return nil
	}
	return s.SearchBeside(ctx, f.BullpenID, f.ID)
}

// propose looks for the reps of a film beside films that may show the same pitcher from
// the same place, and keeps what is found, and by what.
func (s *Proposer) propose(ctx context.Context, f store.Film, this trace.Film, alike []markedFilm, foundBy string) error {
	others := make([]trace.Film, len(alike))
	for i, o := range alike {
		others[i] = o.seen
	}
	finding := trace.FindBeside(this, others)
	if err := ctx.Err(); err != nil {
		return err
	}
	look := store.FilmFindings{Box: finding.Box, Slow: finding.Slowed, TooShort: finding.TooShort, FoundBy: foundBy, Finder: trace.FinderVersion}
	rough := len(this.Marked) == 0 && !finding.Beside
	return s.store.Propose(ctx, f.ID, proposals(f.Clock, finding, rough), look, nearFrames(f.Clock))
}

// ProposeHeard proposes what may be reps of a film by its sound alone, until its
// pictures were looked at. None is sure.
func (s *Proposer) ProposeHeard(ctx context.Context, f store.Film, sound *trace.Sound) error {
	found := trace.Finding{Candidates: trace.FindBySound(sound, f.Clock.SlowFactor())}
	err := s.store.Propose(ctx, f.ID, proposals(f.Clock, found, true), store.FilmFindings{}, nearFrames(f.Clock))
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	return err
}

// ProposeSeen proposes what may be reps of a film of which only the beginning was looked
// at, and by sound alone what lies behind it. None is sure before the whole film was.
func (s *Proposer) ProposeSeen(ctx context.Context, f store.Film, motion *trace.Motion, sound *trace.Sound) error {
	now, err := s.store.Film(ctx, f.ID) // what was said of it since
	if bullpen.CodeOf(err) == bullpen.NotFound || err == nil && (now.State != bullpen.FilmReading || now.Clock.SlowFactor() != motion.Slow) {
		return nil // removed, read by another worker, or to be measured anew
	}
	if err != nil {
		return err
	}
	reps, err := s.store.Reps(ctx, f.BullpenID)
	if err != nil {
		return err
	}
	said := *motion
	said.Said = now.SlowKnown
	this := trace.Film{Motion: said.Within(now.Box), Sound: sound.Until(motion.End)}
	for _, at := range marked(now, reps) {
		if at <= motion.End {
			this.Marked = append(this.Marked, at)
		}
	}
	finding := trace.FindBeside(this, nil)
	for i := range finding.Candidates {
		finding.Candidates[i].Sure = false
	}
	for _, c := range trace.FindBySound(sound, now.Clock.SlowFactor()) {
		if c.Release > motion.End {
			finding.Candidates = append(finding.Candidates, c)
		}
	}
	err = s.store.Propose(ctx, f.ID, proposals(now.Clock, finding, len(this.Marked) == 0), store.FilmFindings{}, nearFrames(now.Clock))
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	return err
}

// SamePitch reports whether two releases on a film, as frames, are so near to one
// another that they must be the same pitch's.
func SamePitch(c bullpen.Clock, a, b int) bool {
	if a < 0 || b < 0 || a >= c.Frames() || b >= c.Frames() {
		return false
	}
	return c.RealSeconds(min(a, b), max(a, b)) < samePitchWithin
}

// nearFrames is near in frames of the film, by its mean rate.
func nearFrames(c bullpen.Clock) int {
	n := c.Frames()
	if n < 2 {
		return 1
	}
	return int(samePitchWithin * float64(n-1) / c.RealSeconds(0, n-1))
}

// proposals turns what was found into frames of the film's clock; rough if nothing
// was marked.
func proposals(c bullpen.Clock, f trace.Finding, rough bool) []store.Proposal {
	if c.Frames() == 0 {
		return nil
	}
	out := make([]store.Proposal, 0, len(f.Candidates)+len(f.Unexplained)+len(f.Walks))
	for _, x := range f.Candidates {
		p := store.Proposal{
			From: c.At(x.From), To: c.At(x.To), Release: nearest(c, x.Release),
			Confidence: confidence(x), Reason: string(x.Reason), Rough: rough,
		}
		if !math.IsNaN(x.Found) {
			p.Instant, p.Spread = &x.Found, new(x.Spread/c.SlowFactor())
		}
		out = append(out, p)
	}
	for reason, spans := range map[string][]trace.Span{Unexplained: f.Unexplained, WalkBack: f.Walks} {
		for _, x := range spans {
			out = append(out, store.Proposal{From: c.At(x.From), To: c.At(x.To), Release: c.At((x.From + x.To) / 2), Reason: reason, Rough: rough})
		}
	}
	return out
}

// Sure is the confidence above which a proposal is shown as a rep; up to it, it is
// asked about: "is this a rep?"
const Sure = 0.5

// confidence puts a candidate on its side of Sure.
func confidence(x trace.Candidate) float64 {
	if x.Sure {
		return min(max(x.Confidence, Sure+0.01), 1)
	}
	return min(max(x.Confidence, 0.01), Sure)
}

// nearest returns the frame whose time is nearest to file second t.
func nearest(c bullpen.Clock, t float64) int {
	i := c.At(t)
	if i+1 < c.Frames() && c.FileSeconds(i+1)-t < t-c.FileSeconds(i) {
		return i + 1
	}
	return i
}
