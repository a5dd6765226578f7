package scout

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// FollowKind is the kind of job that finds the four instants in every rep of a
// bullpen from those marked on its fastballs; its subject is the bullpen.
const FollowKind = "find instants"

// Follow queues a search for instants in a bullpen's reps, asked for or not.
func (s *Scout) Follow(ctx context.Context, bullpenID string) (store.Job, error) {
	p, err := s.pen(ctx, bullpenID)
	if err != nil {
		return store.Job{}, err
	}
	if !p.hasReference() {
		return store.Job{}, bullpen.Errorf(bullpen.Invalid, "Mark drive, plant, top and release on one %s first; the other reps are found from it.", p.fast())
	}
	return s.follow(ctx, bullpenID, true)
}

// FollowAgain queues a search for instants if anything that it hangs on has changed
// since the last one.
func (s *Scout) FollowAgain(ctx context.Context, bullpenID string) error {
	p, err := s.pen(ctx, bullpenID)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	if err != nil {
		return err
	}
	last, err := s.store.Followed(ctx, bullpenID)
	if err != nil || len(last) == 0 && !p.hasReference() || isLast(last, p.digest()) {
		return err
	}
	_, err = s.follow(ctx, bullpenID, false)
	return err
}

// again is a job's payload: look even if nothing has changed.
type again struct {
	Asked bool `json:"asked,omitempty"`
}

func (s *Scout) follow(ctx context.Context, bullpenID string, asked bool) (store.Job, error) {
	payload, err := json.Marshal(again{asked})
	if err != nil {
		return store.Job{}, err
	}
	return s.store.AddJob(ctx, store.NewJob{Kind: FollowKind, Subject: bullpenID, BullpenID: bullpenID, Payload: string(payload)})
}

// isLast reports whether the last search saw what digest stands for.
func isLast(last []store.Followed, digest string) bool {
	return len(last) > 0 && !slices.ContainsFunc(last, func(f store.Followed) bool { return f.Inputs != digest })
}

// FindInstants is the handler of jobs of FollowKind.
func (s *Scout) FindInstants(ctx context.Context, job store.Job, progress func(done float64)) error {
	p, err := s.pen(ctx, job.Subject)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil // removed meanwhile
	}
	if err != nil {
		return err
	}
	var how again
	if err := json.Unmarshal([]byte(job.Payload), &how); err != nil {
		return err
	}
	last, err := s.store.Followed(ctx, job.Subject)
	if err != nil {
		return err
	}
	digest := p.digest()
	if !how.Asked && isLast(last, digest) {
		return nil
	}
	var out followed
	if p.hasReference() {
		groups := p.groups()
		for i, g := range groups {
			share := func(done float64) { progress((float64(i) + done) / float64(len(groups))) }
			err := s.followGroup(ctx, g, &out, share)
			if err != nil && s.gone(ctx, g) {
				return s.FollowAgain(ctx, job.Subject) // a film was removed meanwhile
			}
			if err != nil {
				return err
			}
		}
	}
	for i := range out.films {
		out.films[i].Inputs = digest
	}
	err = s.store.KeepInstants(ctx, job.Subject, out.films, out.reps)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nil
	}
	return err
}

// gone reports whether a film of the group is no longer there.
func (s *Scout) gone(ctx context.Context, g group) bool {
	return slices.ContainsFunc(g.films, func(f store.Film) bool {
		_, err := s.store.Film(ctx, f.ID)
		return bullpen.CodeOf(err) == bullpen.NotFound
	})
}

// pen is what a search for instants hangs on.
type pen struct {
	baseline bullpen.Pitch
	films    []store.Film
	reps     []bullpen.Rep // on a film, with a release
	accepted map[string]store.Accepted
}

func (s *Scout) pen(ctx context.Context, bullpenID string) (p pen, err error) {
	b, _, err := s.store.Bullpen(ctx, bullpenID)
	if err != nil {
		return p, err
	}
	her, err := s.store.Pitcher(ctx, b.PitcherID)
	if err != nil {
		return p, err
	}
	if p.baseline = her.BaselinePitch; p.baseline == "" {
		p.baseline = bullpen.Fastball
	}
	films, err := s.store.Films(ctx, bullpenID)
	if err != nil {
		return p, err
	}
	p.films = slices.DeleteFunc(films, func(f store.Film) bool { return f.State != bullpen.FilmReady })
	if p.reps, err = s.store.Reps(ctx, bullpenID); err != nil {
		return p, err
	}
	clocks := map[string]int{}
	for _, f := range p.films {
		clocks[f.ID] = f.Clock.Frames()
	}
	p.reps = slices.DeleteFunc(p.reps, func(r bullpen.Rep) bool { return r.Release < 0 || r.Release >= clocks[r.FilmID] })
	p.accepted, err = s.store.Accepted(ctx, bullpenID)
	return p, err
}

func (p pen) fast() string {
	if t, ok := bullpen.TypeOf(p.baseline); ok {
		return t.Name
	}
	return string(p.baseline)
}

func (p pen) isFast(r bullpen.Rep) bool {
	return r.Pitch == p.baseline && bullpen.DrillKey(r.Drill) == "" && !r.WarmUp
}

// placed returns the frames of a rep's marks that a person placed; a mark that was
// taken over from what was found and not moved since is none. The instants are
// carried over from fastballs only: another pitch keeps another time between legs
// and arm, and would move them. Nor do marks on change-ups move what is found on
// other change-ups: how far a hand misses the instant on the fastball shifts both
// pitches alike and falls out of their comparison; on one pitch alone, it would pass
// for a slower or a faster body.
func (p pen) placed(r bullpen.Rep) bullpen.Rep {
	if !p.isFast(r) {
		r.Drive, r.Plant, r.Top, r.Release = bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked
		return r
	}
	if a, ok := p.accepted[r.ID]; ok {
		takeOff(&r, a)
	}
	if r.Drive < 0 && r.Plant < 0 && r.Top < 0 {
		r.Release = bullpen.Unmarked // found itself, most likely
	}
	return r
}

// hasReference reports whether all four instants are marked, on one fastball or
// some on this one and some on that.
func (p pen) hasReference() bool {
	var drive, plant, top, release bool
	for _, r := range p.reps {
		m := p.placed(r)
		drive, plant, top, release = drive || m.Drive >= 0, plant || m.Plant >= 0, top || m.Top >= 0, release || m.Release >= 0
	}
	return drive && plant && top && release
}

// digest names everything that a search hangs on.
func (p pen) digest() string {
	type film struct {
		ID, Motion string
		View       bullpen.View
		Slow       float64
	}
	type rep struct {
		ID, Film                       string
		At, Drive, Plant, Top, Release int
		Fast                           bool
	}
	in := struct {
		Trace, Tempo int
		Films        []film
		Reps         []rep
	}{Trace: trace.Version, Tempo: tempo.Version}
	for _, f := range p.films {
		in.Films = append(in.Films, film{f.ID, f.Made.Motion, f.View, f.Clock.Slow})
	}
	for _, r := range p.reps {
		m := p.placed(r)
		in.Reps = append(in.Reps, rep{r.ID, r.FilmID, r.Release, m.Drive, m.Plant, m.Top, m.Release, p.isFast(r)})
	}
	text, _ := json.Marshal(in) // strings, whole numbers and a slow factor: it can't fail
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16])
}

// reel is one film's reps as event transfer takes them in.
type reel struct {
	film   store.Film
	reps   []bullpen.Rep
	in     []tempo.Delivery
	fast   int
	marked tempo.Instants // any of its own, NaN where none
}

// group is films that may show the pitcher from one place.
type group struct {
	pen   pen
	films []store.Film
}

// groups parts a bullpen's films by where the phone stood and how it was held.
func (p pen) groups() []group {
	type place struct {
		view    bullpen.View
		upright bool
	}
	by := map[place]*group{}
	var order []place
	for _, f := range p.films {
		if !slices.ContainsFunc(p.reps, func(r bullpen.Rep) bool { return r.FilmID == f.ID }) {
			continue
		}
		at := place{f.View, f.Height > f.Width}
		if by[at] == nil {
			by[at] = &group{pen: p}
			order = append(order, at)
		}
		by[at].films = append(by[at].films, f)
	}
	out := make([]group, len(order))
	for i, at := range order {
		out[i] = *by[at]
	}
	return out
}

func (s *Scout) reelOf(p pen, f store.Film) (reel, store.Followed, error) {
	motion := new(trace.Motion)
	if err := s.load(f.Made.Motion, motion); err != nil {
		return reel{}, store.Followed{}, err
	}
	motion.Slow = slowOf(f.Clock) // the user may have said it only later
	r := reel{film: f, marked: tempo.Unknown()}
	for _, rep := range p.reps {
		if rep.FilmID != f.ID {
			continue
		}
		d := tempo.Delivery{
			Motion: motion, Guess: f.Clock.RealSeconds(0, rep.Release), Fast: p.isFast(rep),
			Marked: tempo.InstantsOf(p.placed(rep), f.Clock),
		}
		if d.Fast {
			r.fast++
		}
		r.reps, r.in = append(r.reps, rep), append(r.in, d)
		r.marked = r.marked.Or(d.Marked)
	}
	return r, store.Followed{FilmID: f.ID, Doubled: motion.DoubledShare(), Cadence: tempo.CadenceOf(motion)}, nil
}

// followed is what a search has found so far.
type followed struct {
	films []store.Followed
	reps  []store.Instants
}

// sameSetUp is the mean match of a film's whole deliveries from which on it shows
// what the marked film shows.
const sameSetUp = 0.70

// followGroup follows the films of one group: a film with its own marks and
// fastballs enough by itself, the others along with all of them.
func (s *Scout) followGroup(ctx context.Context, g group, out *followed, progress func(float64)) error {
	said := map[string]*store.Followed{}
	var own, others []reel
	for i, f := range g.films {
		if err := ctx.Err(); err != nil {
			return err
		}
		r, about, err := s.reelOf(g.pen, f)
		if err != nil {
			return err
		}
		said[f.ID] = &about
		if r.fast >= tempo.LeastFastballs && r.marked.Complete() {
			own = append(own, r)
		} else {
			others = append(others, r)
		}
		progress(0.3 * float64(i+1) / float64(len(g.films)))
	}
	keep := func(r reel, got []tempo.Transferred) {
		for i, t := range got {
			if x, ok := instantsOf(r.reps[i], r.film, t); ok {
				out.reps = append(out.reps, x)
			}
		}
	}
	var good []reel
	for i, r := range own {
		got, err := tempo.Transfer(r.in)
		if err != nil {
			if said[r.film.ID].Refusal, err = refusalOf(err); err != nil {
				return err
			}
			continue
		}
		good = append(good, r)
		keep(r, got)
		if err := ctx.Err(); err != nil {
			return err
		}
		progress(0.3 + 0.4*float64(i+1)/float64(len(own)+1))
	}
	if err := together(good, others, said, keep); err != nil {
		return err
	}
	for _, f := range g.films {
		out.films = append(out.films, *said[f.ID])
	}
	progress(1)
	return ctx.Err()
}

// together follows the films that can't be followed by themselves, along with those
// that can. A film that turns out to show something else is refused, and the rest
// is done again without it.
func together(own, others []reel, said map[string]*store.Followed, keep func(reel, []tempo.Transferred)) error {
	marked := tempo.Unknown()
	for _, r := range slices.Concat(own, others) {
		marked = marked.Or(r.marked)
	}
	if !marked.Complete() {
		for _, r := range others {
			said[r.film.ID].Refusal = "The marked fastball is filmed from elsewhere; mark the four instants on a fastball seen from here too, or mark these reps by hand."
		}
		return nil
	}
	for len(others) > 0 {
		var all []tempo.Delivery
		for _, r := range slices.Concat(own, others) {
			all = append(all, r.in...)
		}
		got, err := tempo.Transfer(all)
		if err != nil {
			sentence, err := refusalOf(err)
			for _, r := range others {
				said[r.film.ID].Refusal = sentence
			}
			return err
		}
		for _, r := range own {
			got = got[len(r.in):]
		}
		results := map[string][]tempo.Transferred{}
		alike := slices.Clone(others)
		for _, r := range others {
			results[r.film.ID], got = got[:len(r.in)], got[len(r.in):]
		}
		alike = slices.DeleteFunc(alike, func(r reel) bool { return meanMatch(results[r.film.ID]) < sameSetUp })
		if len(alike) == len(others) {
			for _, r := range others {
				keep(r, results[r.film.ID])
			}
			return nil
		}
		for _, r := range others {
			if meanMatch(results[r.film.ID]) < sameSetUp {
				said[r.film.ID].Refusal = "This film does not look like the one with the marks: the phone stood elsewhere, or somebody was in front; mark the four instants on a fastball of this film, or mark its reps by hand."
			}
		}
		others = alike
	}
	return nil
}

func meanMatch(all []tempo.Transferred) float64 {
	var sum float64
	for _, t := range all {
		sum += t.Match
	}
	return sum / float64(len(all))
}

// refusalOf takes the sentence out of a refusal; any other error stays one.
func refusalOf(err error) (string, error) {
	switch bullpen.CodeOf(err) {
	case bullpen.Refused, bullpen.Invalid:
		return bullpen.MessageOf(err), nil
	}
	return "", err
}

// instantsOf is what was found in a rep as it is kept.
func instantsOf(r bullpen.Rep, f store.Film, t tempo.Transferred) (store.Instants, bool) {
	x := store.Instants{
		RepID: r.ID, FilmID: f.ID, Mark: r.Release, Slow: f.Clock.Slow, Trace: trace.Version,
		Drive: store.FoundInstant(t.Drive), Plant: store.FoundInstant(t.Plant),
		Top: store.FoundInstant(t.Top), Release: store.FoundInstant(t.Release),
		Stretch: t.Stretch, Match: t.Match,
	}
	for _, v := range []float64{x.Drive.Seconds, x.Plant.Seconds, x.Top.Seconds, x.Release.Seconds, x.Stretch, x.Match} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return x, false
		}
	}
	return x, true
}

// Round returns how much moved on a film round a rep's release, see tempo.Round.
func (s *Scout) Round(f store.Film, r bullpen.Rep) ([]float32, error) {
	if r.Release < 0 || r.Release >= f.Clock.Frames() {
		return nil, nil
	}
	motion := new(trace.Motion)
	if err := s.load(f.Made.Motion, motion); err != nil {
		return nil, err
	}
	motion.Slow = slowOf(f.Clock)
	return tempo.Round(motion, f.Clock.RealSeconds(0, r.Release)), nil
}
