package propose

import (
	"bytes"
	"context"
	"math"
	"slices"
	"sync"
	"testing"
	"time"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// house is a store with one bullpen and one film that was read.
type house struct {
	dir      string
	store    *store.Store
	blobs    *blob.Store
	proposer *Proposer
	pen      bullpen.Bullpen
	film     store.Film
	truth    demo.Truth
}

// generated is a generated film and its traces as stored.
type generated struct {
	truth         demo.Truth
	motion, sound []byte
}

// plain is how shown was filmed.
var plain = demo.Options{Seed: 5, Reps: demo.Series(4, 3, demo.Same, 1), Rest: 5, Pace: demo.FPS(30, 1)}

// shown is the film that a house has unless it is said to have another; made once.
var shown = sync.OnceValues(func() (generated, error) { return generate(plain) })

func generate(o demo.Options) (film generated, err error) {
	take, err := demo.Plan(o)
	if err != nil {
		return film, err
	}
	film.truth = take.Truth()
	meter := trace.NewMeter(160, 90, 1)
	err = take.Gray(context.Background(), 160, 90, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	})
	if err != nil {
		return film, err
	}
	if film.motion, err = meter.Motion().MarshalBinary(); err != nil {
		return film, err
	}
	ear := trace.NewEar(24000, 1)
	ear.Add(take.Sound(24000))
	film.sound, err = ear.Sound().MarshalBinary()
	return film, err
}

func newHouse(t *testing.T) house {
	t.Helper()
	return emptyHouse(t).filled(t, t.Context())
}

// emptyHouse is a house without a bullpen.
func emptyHouse(t *testing.T) house {
	t.Helper()
	dir := t.TempDir()
	s, err := store.OpenScratch(t.Context(), dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	blobs, err := blob.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { blobs.Close() })
	return house{dir: dir, store: s, blobs: blobs, proposer: New(s, blobs, nil, nil)}
}

// filled returns h with a bullpen and a film that was read, of the academy that ctx
// is within.
func (h house) filled(t *testing.T, ctx context.Context) house {
	t.Helper()
	film, err := shown()
	if err != nil {
		t.Fatal(err)
	}
	return h.showing(t, ctx, film)
}

// showing is filled with a film of its own.
func (h house) showing(t *testing.T, ctx context.Context, film generated) house {
	t.Helper()
	h.truth = film.truth
	var err error
	level, _ := bullpen.LevelOf("14U")
	_, h.pen, err = h.store.AddBullpenFor(ctx, bullpen.NewPitcher("Wren", level), bullpen.Bullpen{Day: "2026-05-01", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}, true)
	if err != nil {
		t.Fatal(err)
	}
	id := store.NewFilmID()
	h.film = store.Film{
		Film: bullpen.Film{ID: id, BullpenID: h.pen.ID, Name: "pen.mp4", SHA256: "00", State: bullpen.FilmReading, Clock: h.truth.Clock},
		Made: store.FilmFiles{Original: "films/" + id + "/original", Motion: "films/" + id + "/motion", Sound: "films/" + id + "/sound"},
	}
	h.put(t, h.film.Made.Motion, film.motion)
	h.put(t, h.film.Made.Sound, film.sound)
	if err := h.store.Expect(ctx, h.film.Made.Original, h.film.Made.Motion, h.film.Made.Sound); err != nil {
		t.Fatal(err)
	}
	if h.film, _, err = h.store.AddFilm(ctx, h.film, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	h.film.Clock = h.truth.Clock
	h.film.Made.Motion, h.film.Made.Sound = "films/"+id+"/motion", "films/"+id+"/sound"
	if _, err := h.store.FilmRead(ctx, h.film, []store.File{{Key: h.film.Made.Motion, Bytes: 1}, {Key: h.film.Made.Sound, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}
	return h
}

func (h house) put(t *testing.T, key string, data []byte) {
	t.Helper()
	if _, err := h.blobs.Put(t.Context(), key, bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
}

func (h house) look(t *testing.T) []store.Proposal {
	t.Helper()
	job, err := h.proposer.Search(t.Context(), h.film.ID)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.proposer.FindReps(t.Context(), job, func(float64) {}); err != nil {
		t.Fatal(err)
	}
	all, err := h.store.Proposals(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// nearestTo returns the open proposal nearest to a true release, in frames.
func nearestTo(all []store.Proposal, frame int) (store.Proposal, int) {
	best, least := store.Proposal{}, math.MaxInt
	for _, p := range all {
		if d := max(p.Release-frame, frame-p.Release); p.State == store.ProposalOpen && p.Reason != Unexplained && d < least {
			best, least = p, d
		}
	}
	return best, least
}

func TestFindsRepsAndCarriesAReleaseOver(t *testing.T) {
	h := newHouse(t)
	rough := h.look(t)
	for i, r := range h.truth.Reps {
		if p, d := nearestTo(rough, r.Release.Frame); d > 10 || p.Confidence <= Sure {
			t.Errorf("rep %d: nearest proposal is %d frames off, confidence %.2f", i+1, d, p.Confidence)
		}
	}

	// One release confirmed on its true frame: the others must follow.
	first, _ := nearestTo(rough, h.truth.Reps[0].Release.Frame)
	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	if _, _, err := h.store.Confirm(t.Context(), first.ID, rep); err != nil {
		t.Fatal(err)
	}
	fine := h.look(t)
	for i, r := range h.truth.Reps[1:] {
		if _, d := nearestTo(fine, r.Release.Frame); d > 1 {
			t.Errorf("rep %d: release %d frames off although one was marked", i+2, d)
		}
	}
	if _, d := nearestTo(fine, h.truth.Reps[0].Release.Frame); d < nearFrames(h.truth.Clock) {
		t.Error("the confirmed rep is proposed again")
	}

	// What was thrown out stays out.
	gone, _ := nearestTo(fine, h.truth.Reps[2].Release.Frame)
	if _, err := h.store.ThrowOut(t.Context(), gone.ID, false); err != nil {
		t.Fatal(err)
	}
	if _, d := nearestTo(h.look(t), h.truth.Reps[2].Release.Frame); d < nearFrames(h.truth.Clock) {
		t.Error("what was thrown out is proposed again")
	}
}

// Whatever release is moved, of however many, the open proposals follow it; those
// confirmed stay, and an open one stays the same to whoever looks at it.
func TestProposalsFollowMovedReleases(t *testing.T) {
	h := newHouse(t)
	h.look(t)
	var reps []bullpen.Rep
	for _, r := range h.truth.Reps[:2] {
		rep := r.Rep(h.film.ID)
		rep.BullpenID = h.pen.ID
		rep, _, err := h.store.AddRep(t.Context(), rep)
		if err != nil {
			t.Fatal(err)
		}
		reps = append(reps, rep)
	}
	before := h.look(t)
	// Both were marked six frames early, as it turns out.
	const off = 6
	for i := range reps {
		reps[i].Release -= off
		var err error
		if reps[i], _, err = h.store.SaveRep(t.Context(), reps[i]); err != nil {
			t.Fatal(err)
		}
	}
	after := h.look(t)
	for i, r := range h.truth.Reps[2:] {
		was, _ := nearestTo(before, r.Release.Frame)
		is, _ := nearestTo(after, r.Release.Frame-off)
		if d := was.Release - is.Release; d < off-1 || d > off+1 {
			t.Errorf("rep %d: the proposal moved from %d to %d", i+3, was.Release, is.Release)
		}
		if was.ID != is.ID {
			t.Errorf("rep %d: the proposal is another one now", i+3)
		}
	}
	kept, err := h.store.Reps(t.Context(), h.pen.ID)
	if err != nil || len(kept) != 2 || kept[0].Release != reps[0].Release || kept[1].Release != reps[1].Release {
		t.Errorf("marked releases moved: %+v, %v", kept, err)
	}
}

// searches counts the searches of h's film that wait, run or failed.
func (h house) searches(t *testing.T, ctx context.Context) int {
	t.Helper()
	all, err := h.store.Jobs(ctx, h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	return len(slices.DeleteFunc(all, func(j store.Job) bool { return j.Kind != RepsKind || j.Subject != h.film.ID }))
}

// searchedBy says of h's film that a version of the finder searched it, and found nothing.
func (h house) searchedBy(t *testing.T, ctx context.Context, finder int) {
	t.Helper()
	if err := h.store.Propose(ctx, h.film.ID, nil, store.FilmFindings{Finder: finder}, 1); err != nil {
		t.Fatal(err)
	}
}

// Films of every academy are measured anew when another version of the method stored
// their traces, and searched again when an older finder searched them.
func TestRefreshReachesEveryAcademy(t *testing.T) {
	h := newHouse(t)
	account, err := h.store.AddAccount(t.Context(), "Sam", "hash")
	if err != nil {
		t.Fatal(err)
	}
	there := store.Within(t.Context(), account.Academy)
	other := h.filled(t, there)
	refresh := func(want int, why string) {
		t.Helper()
		if err := h.proposer.Refresh(t.Context()); err != nil {
			t.Fatal(err)
		}
		if a, b := h.searches(t, t.Context()), other.searches(t, there); a != want || b != want {
			t.Errorf("%d and %d searches, want %d: %s", a, b, want, why)
		}
	}
	done := func() {
		t.Helper()
		for range 2 {
			job, ok, err := h.store.ClaimJob(t.Context(), []string{RepsKind}, time.Hour)
			if err != nil || !ok {
				t.Fatal(ok, err)
			}
			if err := h.store.EndJob(t.Context(), job.ID, job.Claim, store.JobDone, "", 0); err != nil {
				t.Fatal(err)
			}
		}
	}
	searchedBy := func(finder int) {
		t.Helper()
		h.searchedBy(t, t.Context(), finder)
		other.searchedBy(t, there, finder)
	}
	searchedBy(trace.FinderVersion)
	refresh(0, "traces and finder are this version's")
	searchedBy(trace.FinderVersion - 1)
	refresh(1, "an older finder searched")
	refresh(1, "it waits already")
	done()
	searchedBy(trace.FinderVersion + 1)
	refresh(0, "a newer finder searched, on another machine")

	searchedBy(trace.FinderVersion)
	film, err := shown()
	if err != nil {
		t.Fatal(err)
	}
	old := slices.Clone(film.motion)
	old[4]++ // the version's lowest byte
	for _, key := range []string{h.film.Made.Motion, other.film.Made.Motion} {
		if err := h.blobs.Delete(t.Context(), key); err != nil {
			t.Fatal(err)
		}
		h.put(t, key, old)
	}
	refresh(1, "the traces are of another version")
}

// What an older finder left is found anew without the film being measured, and nothing that
// somebody decided is taken back by it. A search that was called off stays so.
func TestRefreshTakesNothingBack(t *testing.T) {
	h := newHouse(t)
	all := h.look(t)
	decided := func(i int) store.Proposal {
		p, _ := nearestTo(all, h.truth.Reps[i].Release.Frame)
		return p
	}
	rep := h.truth.Reps[0].Rep(h.film.ID)
	rep.BullpenID = h.pen.ID
	rep, _, err := h.store.Confirm(t.Context(), decided(0).ID, rep)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := h.store.ThrowOut(t.Context(), decided(1).ID, false); err != nil {
		t.Fatal(err)
	}
	h.searchedBy(t, t.Context(), 0) // as its column says of all that were searched before it was there
	if f, err := h.store.Film(t.Context(), h.film.ID); err != nil || f.Finder != 0 {
		t.Fatal(f.Finder, err)
	}

	if err := h.proposer.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	job, ok, err := h.store.ClaimJob(t.Context(), []string{RepsKind}, time.Hour)
	if err != nil || !ok {
		t.Fatal("nothing is searched again", err)
	}
	if err := h.proposer.FindReps(t.Context(), job, func(float64) {}); err != nil { // h.proposer can measure nothing
		t.Fatal(err)
	}
	if err := h.store.EndJob(t.Context(), job.ID, job.Claim, store.JobDone, "", 0); err != nil {
		t.Fatal(err)
	}
	if f, err := h.store.Film(t.Context(), h.film.ID); err != nil || f.Finder != trace.FinderVersion {
		t.Errorf("searched by finder %d, %v", f.Finder, err)
	}
	kept, err := h.store.Rep(t.Context(), rep.ID)
	if err != nil || kept.Release != rep.Release || kept.Version != rep.Version {
		t.Errorf("the rep is %+v, and was %+v; %v", kept, rep, err)
	}
	now, err := h.store.Proposals(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	states := map[string]store.ProposalState{}
	open := 0
	for _, p := range now {
		states[p.ID] = p.State
		if p.State == store.ProposalOpen && IsRep(p.Reason) {
			open++
		}
	}
	if states[decided(0).ID] != store.ProposalConfirmed || states[decided(1).ID] != store.ProposalThrownOut || open != len(h.truth.Reps)-2 {
		t.Errorf("decided are %v and %v, %d of %d others are open", states[decided(0).ID], states[decided(1).ID], open, len(h.truth.Reps)-2)
	}
	if found, err := h.store.FoundReleases(t.Context(), h.pen.ID); err != nil || found[rep.ID].Spread <= 0 {
		t.Errorf("beside the mark: %+v, %v", found[rep.ID], err)
	}

	h.searchedBy(t, t.Context(), 0)
	if job, err = h.proposer.Search(t.Context(), h.film.ID); err != nil {
		t.Fatal(err)
	}
	if _, err := h.store.CancelJob(t.Context(), job.ID); err != nil {
		t.Fatal(err)
	}
	if err := h.proposer.Refresh(t.Context()); err != nil {
		t.Fatal(err)
	}
	if n := h.searches(t, t.Context()); n != 0 {
		t.Errorf("%d searches of a film whose search was called off", n)
	}
}

func TestAFilmThatIsGoneNeedsNoLooking(t *testing.T) {
	h := newHouse(t)
	err := h.proposer.FindReps(context.Background(), store.Job{NewJob: store.NewJob{Subject: "nosuchfilm"}}, func(float64) {})
	if err != nil {
		t.Errorf("looking for reps in a removed film: %v", err)
	}
	if _, err := h.proposer.Search(t.Context(), "nosuchfilm"); bullpen.CodeOf(err) != bullpen.NotFound {
		t.Errorf("Look: %v", err)
	}
}
