package field

import (
	"context"
	"fmt"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

// fence is a bullpen whose film has 12 throws at 60 frames a second: three are logged
// already, the others are proposed.
type fence struct {
	*Field
	t    *testing.T
	pen  bullpen.Bullpen
	film store.Film
	reps []bullpen.Rep // as logged by hand: a read fastball, one that is not read, and a drop
}

func newFence(t *testing.T, filmed bool) *fence {
	t.Helper()
	ctx := t.Context()
	st, err := store.OpenScratch(ctx, t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := st.Close(); err != nil {
			t.Error(err)
		}
	})
	f := &fence{Field: New(st, nil), t: t}
	level, err := st.Level(ctx, "14U")
	f.ok(err)
	_, f.pen, err = st.AddBullpenFor(ctx, bullpen.NewPitcher("Wren", level.Level), bullpen.Bullpen{Day: "2026-05-01", Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}, true)
	f.ok(err)
	if !filmed {
		return f
	}
	id := store.NewFilmID()
	film, _, err := st.AddFilm(ctx, store.Film{
		Film: bullpen.Film{ID: id, BullpenID: f.pen.ID, Name: "a.mov", SHA256: "sum", State: bullpen.FilmReading}, Made: store.FilmFiles{Original: "films/" + id + "/original"},
	}, store.NewJob{Kind: "read film"})
	f.ok(err)
	film.Recorded = 1e6 * began
	film.Clock = bullpen.Clock{Num: 1, Den: 60, Slow: 1}
	for i := range int64(265 * 60) {
		film.Clock.Ticks = append(film.Clock.Ticks, i)
	}
	_, err = st.FilmRead(ctx, film, nil)
	f.ok(err)
	f.film, err = st.Film(ctx, id)
	f.ok(err)
	var found []store.Proposal
	for i, at := range thrown {
		frame := int(60 * at)
		found = append(found, store.Proposal{From: frame - 60, To: frame + 30, Release: frame, Confidence: 0.9, Reason: "motion and sound", Rough: i == 9})
		if i == 5 { // what may be one does not count as one
			found = append(found, store.Proposal{From: frame + 500, To: frame + 590, Release: frame + 560, Confidence: 0.3, Reason: "motion only"})
		}
	}
	f.ok(st.Propose(ctx, id, found, store.FilmFindings{}, 60))
	proposals, err := st.Proposals(ctx, f.pen.ID)
	f.ok(err)
	for i, r := range []bullpen.Rep{
		{Pitch: bullpen.Fastball, Reading: &bullpen.Reading{Value: 54, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}},
		{Pitch: bullpen.Fastball},
		{Pitch: bullpen.Drop},
	} {
		r.BullpenID, r.FilmID, r.Release = f.pen.ID, id, int(60*thrown[i])
		r.Drive, r.Plant, r.Top = bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked
		at := slices.IndexFunc(proposals, func(p store.Proposal) bool { return p.Release == r.Release })
		r, _, err := st.Confirm(ctx, proposals[at].ID, r)
		f.ok(err)
		f.reps = append(f.reps, r)
	}
	return f
}

func (f *fence) ok(err error) {
	f.t.Helper()
	if err != nil {
		f.t.Fatal(err)
	}
}

// typed keeps an entry for each of the throws, but for those left out, and one that
// nobody threw; change-ups from the sixth on.
func (f *fence) typed(left ...int) []bullpen.FieldEntry {
	f.t.Helper()
	var out []bullpen.FieldEntry
	for i, at := range append(slices.Clone(thrown), 82) { // the last one is thrown before the film's fifth
		if slices.Contains(left, i) {
			continue
		}
		e := bullpen.FieldEntry{
			ID: fmt.Sprintf("entry%011d", i), PitcherID: f.pen.PitcherID, Day: f.pen.Day, At: int64(1e6 * (began + at + 3)), Revision: 1,
			Pitch: bullpen.Fastball, Reading: bullpen.TypedReading{Value: 50 + float64(i), Unit: bullpen.MPH}, Call: bullpen.Strike,
		}
		if i > 5 {
			e.Pitch = bullpen.ChangeUp
		}
		out = append(out, e)
	}
	refused, err := f.store.KeepEntries(f.t.Context(), out)
	f.ok(err)
	if len(refused) > 0 {
		f.t.Fatal(refused)
	}
	return out
}

// found does the job and looks.
func (f *fence) found() Standing {
	f.t.Helper()
	f.ok(f.Find(f.t.Context(), store.Job{NewJob: store.NewJob{Subject: f.pen.ID}}, nil))
	look, err := f.Standing(f.t.Context(), f.pen.ID)
	f.ok(err)
	return look
}

// of returns the entries with a fate.
func of(l Outcome, fates ...Fate) (ids []string) {
	for _, line := range l.Lines {
		if slices.Contains(fates, line.Fate) {
			ids = append(ids, line.Entry.ID)
		}
	}
	return ids
}

func (f *fence) all() []bullpen.Rep {
	f.t.Helper()
	reps, err := f.store.Reps(f.t.Context(), f.pen.ID)
	f.ok(err)
	return reps
}

// Readings join their reps in one step, a proposal becomes one; what was typed in the film
// room stays, and undo brings back what was.
func TestJoinAndUndo(t *testing.T) {
	f := newFence(t, true)
	before := f.all()
	f.typed(7) // the eighth was not typed; the last is no throw of the film
	look := f.found()
	if !look.Sure || look.Waiting != 12 || len(look.Outcomes) == 0 {
		t.Fatalf("%+v", look)
	}
	if want := "11 readings from the field found their reps; one throw has no reading (throw 8 on the film); one reading has no throw. One rep is logged as another pitch than was typed at the fence: look at it before it joins."; look.Headline != want {
		t.Errorf("said %q", look.Headline)
	}
	if look.Why != whyRough { // one of the proposals is found only roughly
		t.Errorf("of the releases it says %q", look.Why)
	}
	laying := look.Outcomes[0]
	if len(of(laying, Stays)) != 1 || len(of(laying, Differs)) != 1 || len(of(laying, NoThrow)) != 1 || len(laying.Unread) != 1 {
		t.Errorf("%+v", laying)
	}
	choice := Choice{Revision: look.Revision, Entries: of(laying, Joins, Stays), Alone: of(laying, NoThrow)}
	f.ok(f.Join(t.Context(), f.pen.ID, choice))
	if err := f.Join(t.Context(), f.pen.ID, choice); bullpen.CodeOf(err) != bullpen.Conflict {
		t.Errorf("joined twice: %v", err)
	}
	got := ""
	for _, r := range f.all() {
		value := 0.0
		if r.Reading != nil {
			value = r.Reading.Value
		}
		got += fmt.Sprintf("%d %s %v %s %.0f; ", r.Order, r.Pitch, value, r.Call, float64(r.Release)/60)
	}
	// Nobody threw 62 after 53 on the film, and the eighth throw is not logged.
	want := "1 fb 54 strike 12; 2 fb 51 strike 31; 3 dr 0  55; 4 fb 53 strike 71; 5 ch 62 strike -0; 6 fb 54 strike 98; 7 fb 55 strike 115; " +
		"8 ch 56 strike 139; 9 ch 58 strike 176; 10 ch 59 strike 204; 11 ch 60 strike 231; 12 ch 61 strike 249; "
	if got != want {
		t.Errorf("joined: %s\nwant %s", got, want)
	}
	look = f.found()
	if look.Waiting != 1 || look.Joined != 11 || len(of(look.Outcomes[0], Differs)) != 1 {
		t.Errorf("after it: %+v", look)
	}
	// Somebody changes one of them; that stays.
	changed := f.all()[6]
	changed.Note = "mine"
	_, _, err := f.store.SaveRep(t.Context(), changed)
	f.ok(err)
	kept, _, err := f.store.UndoJoin(t.Context(), f.pen.ID)
	if kept != 1 || err != nil {
		t.Errorf("%d stay, %v", kept, err)
	}
	after := f.all()
	if len(after) != 4 || after[3].ID != changed.ID {
		t.Fatalf("undone: %+v", after)
	}
	for i, was := range before {
		is := after[i]
		is.Version = was.Version
		if (is.Reading == nil) != (was.Reading == nil) || is.Pitch != was.Pitch || is.Call != was.Call || is.Release != was.Release {
			t.Errorf("undone: %+v, it was %+v", is, was)
		}
	}
	proposals, err := f.store.Proposals(t.Context(), f.pen.ID)
	f.ok(err)
	open := 0
	for _, p := range proposals {
		if p.State == store.ProposalOpen {
			open++
		}
	}
	if open != 9 { // of ten, one is still a rep
		t.Errorf("%d proposals are open", open)
	}
	if look = f.found(); look.Waiting != 11 || look.Joined != 0 {
		t.Errorf("after undo: %+v", look)
	}
}

// Without film each entry becomes a rep of its own, behind those that there are.
func TestRepsOfTheirOwn(t *testing.T) {
	f := newFence(t, false)
	f.typed(12)
	look, err := f.Standing(t.Context(), f.pen.ID)
	f.ok(err)
	if want := "12 readings from the field, and no film: each can become a rep of its own."; look.Headline != want {
		t.Errorf("said %q", look.Headline)
	}
	f.ok(f.Join(t.Context(), f.pen.ID, Choice{Revision: look.Revision, Entries: of(look.Outcomes[0], NewRep)}))
	reps := f.all()
	if len(reps) != 12 || reps[0].Reading.Value != 50 || reps[11].Reading.Value != 61 || reps[11].Pitch != bullpen.ChangeUp || reps[11].Reading.Gun != bullpen.BehindCatcher {
		t.Errorf("%+v", reps)
	}
	if _, _, err := f.store.UndoJoin(t.Context(), f.pen.ID); err != nil || len(f.all()) != 0 {
		t.Errorf("undone: %d reps, %v", len(f.all()), err)
	}
}

// Entries are laid by themselves, whatever comes last: they, the film, or a rep.
func TestEveryChangeIsFollowed(t *testing.T) {
	f := newFence(t, true)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	f.typed()
	go func() { ended <- f.FollowChanges(ctx) }()
	defer func() {
		stop()
		f.ok(<-ended)
	}()
	await := func(what string) {
		t.Helper()
		changes, stop := f.store.Watch()
		defer stop()
		for {
			jobs, err := f.store.Jobs(ctx, f.pen.ID)
			f.ok(err)
			at := slices.IndexFunc(jobs, func(j store.Job) bool { return j.Kind == Kind })
			if at >= 0 {
				_, err := f.store.CancelJob(ctx, jobs[at].ID)
				f.ok(err)
				break
			}
			select {
			case <-changes:
			case <-t.Context().Done():
				t.Fatalf("not laid after %s", what)
			}
		}
		if look := f.found(); look.Looking || !look.Sure {
			t.Errorf("after %s: %+v", what, look)
		}
	}
	await("what came while nobody listened")
	_, err := f.store.KeepEntries(ctx, []bullpen.FieldEntry{{
		ID: "entry00000000099", PitcherID: f.pen.PitcherID, Day: f.pen.Day, At: 1e6 * (began + 300), Revision: 1, Pitch: bullpen.Fastball,
	}})
	f.ok(err)
	await("another entry")
	_, err = f.store.RemoveRep(ctx, f.reps[1].ID, 0)
	f.ok(err)
	await("a rep that was taken out")
}

// The same entries come again, late, and the other way round.
func TestEntriesComeOnce(t *testing.T) {
	f := newFence(t, false)
	ctx := t.Context()
	e := bullpen.FieldEntry{ID: "entry00000000001", PitcherID: f.pen.PitcherID, Day: f.pen.Day, At: 5, Revision: 1, Pitch: bullpen.Fastball}
	later := e
	later.Revision, later.Undone = 2, true
	other := e
	other.ID, other.At = "entry00000000002", 4
	for _, sent := range [][]bullpen.FieldEntry{{later, other}, {e}, {other, e}} {
		if refused, err := f.store.KeepEntries(ctx, sent); err != nil || len(refused) > 0 {
			t.Fatal(refused, err)
		}
	}
	left, err := f.store.LessonEntries(ctx, f.pen)
	if err != nil || len(left) != 1 || left[0].ID != other.ID {
		t.Errorf("%+v, %v", left, err)
	}
	if refused, err := f.store.KeepEntries(ctx, []bullpen.FieldEntry{{ID: "entry00000000003", PitcherID: "nobody", Revision: 1}}); err != nil || len(refused) != 1 {
		t.Errorf("for nobody: %v, %v", refused, err)
	}
	f.ok(f.store.SetAside(ctx, f.pen.ID, []string{other.ID}, false))
	if lessons, err := f.store.Lessons(ctx); err != nil || len(lessons) != 0 {
		t.Errorf("set aside: %+v, %v", lessons, err)
	}
	f.ok(f.store.SetAside(ctx, f.pen.ID, []string{other.ID}, true))
	if lessons, err := f.store.Lessons(ctx); err != nil || len(lessons) != 1 || lessons[0].BullpenID != f.pen.ID || lessons[0].Entries != 1 {
		t.Errorf("taken back: %+v, %v", lessons, err)
	}
}
