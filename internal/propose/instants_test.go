package propose

import (
	"math"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// throw stores the film's reps with their true releases, and the first fastball's
// four instants; it returns them as stored.
func (h house) throw(t *testing.T) []bullpen.Rep {
	t.Helper()
	out := make([]bullpen.Rep, len(h.truth.Reps))
	for i, r := range h.truth.Reps {
		rep := r.Rep(h.film.ID)
		rep.BullpenID = h.pen.ID
		if i > 0 {
			rep.Drive, rep.Plant, rep.Top = bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked
		}
		var err error
		if out[i], _, err = h.store.AddRep(t.Context(), rep); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

// searchInstants does the job that is queued, and returns what it found by rep.
func (h house) follow(t *testing.T) map[string]store.Instants {
	t.Helper()
	for _, j := range h.queued(t) {
		if err := h.proposer.FindInstants(t.Context(), j, func(float64) {}); err != nil {
			t.Fatal(err)
		}
		if _, err := h.store.CancelJob(t.Context(), j.ID); err != nil {
			t.Fatal(err)
		}
	}
	found, err := h.store.Instants(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]store.Instants{}
	for _, i := range found {
		out[i.RepID] = i
	}
	return out
}

func (h house) queued(t *testing.T) []store.Job {
	t.Helper()
	all, err := h.store.Jobs(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	var out []store.Job
	for _, j := range all {
		if j.Kind == InstantsKind && j.State == store.JobQueued {
			out = append(out, j)
		}
	}
	return out
}

// followAgain is what a change of the bullpen sets off; it returns how many searches
// wait.
func (h house) followAgain(t *testing.T) int {
	t.Helper()
	h.proposer.followChange(t.Context(), h.pen.ID)
	return len(h.queued(t))
}

// keep stores what a search might have found.
func (h house) keep(t *testing.T, films []store.InstantSearch, found []store.Instants) {
	t.Helper()
	_, revision, err := h.store.Bullpen(t.Context(), h.pen.ID)
	if err == nil {
		err = h.store.KeepInstants(t.Context(), h.pen.ID, revision, films, found)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func TestFindsInstantsFromOneFastball(t *testing.T) {
	h := newHouse(t)
	if _, err := h.proposer.SearchInstants(t.Context(), h.pen.ID); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("without a mark: %v", err)
	}
	if n := h.followAgain(t); n != 0 {
		t.Errorf("%d jobs without a mark", n)
	}
	reps := h.throw(t)
	if n := h.followAgain(t); n != 1 {
		t.Fatalf("%d jobs after a fastball was marked", n)
	}
	if n := h.followAgain(t); n != 1 {
		t.Errorf("%d jobs: the same work waits twice", n)
	}
	found := h.follow(t)
	for i, r := range h.truth.Reps {
		x, ok := found[reps[i].ID]
		if !ok || x.Mark != r.Release.Frame {
			t.Fatalf("rep %d: %+v, %v", i+1, x, ok)
		}
		for name, pair := range map[string][2]float64{
			"drive": {x.Drive.Seconds, r.Drive.Seconds}, "plant": {x.Plant.Seconds, r.Plant.Seconds},
			"top": {x.Top.Seconds, r.Top.Seconds}, "release": {x.Release.Seconds, r.Release.Seconds},
		} {
			if d := math.Abs(pair[0] - pair[1]); d > 0.030 {
				t.Errorf("rep %d: %s %.0f ms off", i+1, name, 1000*d)
			}
		}
	}
	if n := h.followAgain(t); n != 0 {
		t.Errorf("%d jobs though nothing changed", n)
	}

	// A program that finds in another way finds them anew.
	said, err := h.store.InstantSearch(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	for i := range said {
		said[i].Inputs = "0" + said[i].Inputs
	}
	all, err := h.store.Instants(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	h.keep(t, said, all)
	if n := h.followAgain(t); n != 1 {
		t.Errorf("%d jobs after they were found in another way", n)
	}
	if again := h.follow(t); len(again) != len(found) || h.followAgain(t) != 0 {
		t.Errorf("found %d again, %d before", len(again), len(found))
	}

	// What is accepted becomes marks, and is no reference: nothing is found anew.
	got, err := h.proposer.Accept(t.Context(), h.pen.ID, "", nil)
	if err != nil || got.Reps != len(reps)-1 || got.Marks < 2*got.Reps {
		t.Errorf("accepted %+v, %v", got, err)
	}
	if n := h.followAgain(t); n != 0 {
		t.Errorf("%d jobs after accepting what was found", n)
	}
	if got, err := h.proposer.Accept(t.Context(), h.pen.ID, "", nil); err != nil || got.Marks != 0 || got.Revision == 0 {
		t.Errorf("accepted twice: %+v, %v", got, err)
	}
	first, err := h.store.Rep(t.Context(), reps[0].ID)
	if err != nil || first.Drive != reps[0].Drive {
		t.Errorf("a mark by hand was changed: %+v, %v", first, err)
	}

	// A mark moved on another fastball is a reference too.
	var other bullpen.Rep
	for i, r := range reps[1:] {
		if r.Pitch == bullpen.Fastball {
			if other, err = h.store.Rep(t.Context(), reps[i+1].ID); err != nil {
				t.Fatal(err)
			}
			break
		}
	}
	other.Drive++
	if _, _, err := h.store.SaveRep(t.Context(), other); err != nil {
		t.Fatal(err)
	}
	if n := h.followAgain(t); n != 1 {
		t.Errorf("%d jobs after a mark was moved", n)
	}
	if len(h.follow(t)) != len(reps) {
		t.Error("not all found again")
	}

	// Without its marks there is nothing to go by.
	for _, id := range []string{reps[0].ID, other.ID} {
		r, err := h.store.Rep(t.Context(), id)
		if err == nil {
			r.Drive = bullpen.Unmarked
			_, _, err = h.store.SaveRep(t.Context(), r)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if n := h.followAgain(t); n != 1 {
		t.Errorf("%d jobs after the marks went", n)
	}
	if left := h.follow(t); len(left) != 0 {
		t.Errorf("%d reps keep instants that nothing speaks for", len(left))
	}
}

func TestRefusalsAreKept(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	for _, r := range reps[1:] {
		r.Pitch = bullpen.ChangeUp
		if _, _, err := h.store.SaveRep(t.Context(), r); err != nil {
			t.Fatal(err)
		}
	}
	h.followAgain(t)
	if found := h.follow(t); len(found) != 0 {
		t.Errorf("%d reps followed with one fastball", len(found))
	}
	said, err := h.store.InstantSearch(t.Context(), h.pen.ID)
	if err != nil || len(said) != 1 || !strings.Contains(said[0].Refusal, "fastballs") {
		t.Errorf("%+v, %v", said, err)
	}
	if n := h.followAgain(t); n != 0 {
		t.Errorf("%d jobs: a refusal is tried again though nothing changed", n)
	}
	if job, err := h.proposer.SearchInstants(t.Context(), h.pen.ID); err != nil || job.Subject != h.pen.ID {
		t.Errorf("asked for: %+v, %v", job, err)
	}
}

func TestRemark(t *testing.T) {
	h := newHouse(t)
	reps := h.throw(t)
	for i, r := range h.truth.Reps[1:] { // all marked by hand
		full := r.Rep(h.film.ID)
		full.ID, full.Version, full.Order = reps[i+1].ID, reps[i+1].Version, reps[i+1].Order
		if _, _, err := h.store.SaveRep(t.Context(), full); err != nil {
			t.Fatal(err)
		}
	}
	again, err := h.proposer.SecondMarks(t.Context(), h.pen.ID)
	if err != nil || len(again) != RemarkReps {
		t.Fatalf("%d reps, %v", len(again), err)
	}
	clock := h.truth.Clock
	var second []bullpen.Rep
	for i, a := range again {
		if a.Rep.Drive >= 0 || a.Rep.Release >= 0 || len(a.Instants) != 4 {
			t.Errorf("rep %d shows its marks: %+v", i, a)
		}
		for _, r := range h.truth.Reps {
			if rep := r.Rep(h.film.ID); rep.Release > a.From && rep.Release < a.To {
				rep.ID = a.Rep.ID
				rep.Drive, rep.Plant = rep.Drive+1, rep.Plant-1
				if a.From >= rep.Drive || a.To <= rep.Release {
					t.Errorf("frames %d to %d do not show %+v", a.From, a.To, rep)
				}
				second = append(second, rep)
			}
		}
	}
	got, n, err := h.proposer.Spread(t.Context(), second)
	frame := clock.RealSeconds(0, 1)
	// Half of the instants a frame off: sum d^2 / 2n is frame^2 / 4, less the blur.
	if want := math.Sqrt(frame*frame/4 - frame*frame/12); err != nil || n != 20 || math.Abs(got-want) > 1e-4 {
		t.Errorf("spread %.5f of %d marks, %v; want %.5f", got, n, err, want)
	}
	if _, _, err := h.proposer.Spread(t.Context(), second[:1]); bullpen.CodeOf(err) != bullpen.Invalid {
		t.Errorf("four marks: %v", err)
	}
}

func TestMeanMatchOfAFilm(t *testing.T) {
	if got := meanMatch([]tempo.Transferred{{Match: 0.5}, {Match: 0.9}}); got != 0.7 {
		t.Error(got)
	}
}

// A bullpen or a film that is removed while its instants are looked for leaves no
// failed job behind.
func TestFollowingWhatIsRemoved(t *testing.T) {
	h := newHouse(t)
	h.throw(t)
	h.followAgain(t)
	job := h.queued(t)[0]
	if _, err := h.store.RemoveFilm(t.Context(), h.film.ID, 0); err != nil {
		t.Fatal(err)
	}
	if err := h.proposer.FindInstants(t.Context(), job, func(float64) {}); err != nil {
		t.Errorf("without its film: %v", err)
	}
	if _, err := h.store.RemoveBullpen(t.Context(), h.pen.ID, 0, store.Whatever); err != nil {
		t.Fatal(err)
	}
	if left := h.queued(t); len(left) != 0 {
		t.Errorf("%d jobs on a bullpen that is gone", len(left))
	}
	if err := h.proposer.FindInstants(t.Context(), job, func(float64) {}); err != nil {
		t.Errorf("without its bullpen: %v", err)
	}
	if due, err := h.proposer.Due(t.Context(), h.pen.ID); due || err != nil {
		t.Errorf("due in a bullpen that is gone: %v, %v", due, err)
	}
}

// On a film whose every sixth frame shows the one before again, and whose third was left
// out before the fourth, what was found lies half a step after its picture; the frame
// that shows the picture is marked, and the mark stands for what was found.
func TestAcceptsThePicture(t *testing.T) {
	h := newHouse(t)
	at := func(picture int) store.FoundInstant {
		return store.FoundInstant{Seconds: (float64(picture) + 0.5) * h.film.Clock.RealSeconds(0, 1), Match: 0.9, Sure: true}
	}
	rep := h.truth.Reps[1].Rep(h.film.ID)
	rep.BullpenID, rep.Pitch, rep.Drive, rep.Plant, rep.Top, rep.Release = h.pen.ID, bullpen.ChangeUp, -1, -1, -1, 90
	rep, _, err := h.store.AddRep(t.Context(), rep)
	if err != nil {
		t.Fatal(err)
	}
	said := store.InstantSearch{FilmID: h.film.ID, Doubled: 1.0 / 6, Cadence: bullpen.Cadence{Step: h.film.Clock.RealSeconds(0, 1), Every: 6, Repeats: 1, Skips: 4}}
	found := store.Instants{
		RepID: rep.ID, FilmID: h.film.ID, Mark: 90, Slow: h.film.Clock.Slow, Trace: 1,
		Drive: at(60), Plant: at(76), Top: at(80), Release: at(90),
	}
	h.keep(t, []store.InstantSearch{said}, []store.Instants{found})
	if _, err := h.proposer.Accept(t.Context(), h.pen.ID, "", []string{rep.ID}); err != nil {
		t.Fatal(err)
	}
	got, err := h.store.Rep(t.Context(), rep.ID)
	// Pictures 60, 76 and 80 are shown by frames 60 (and 61), 76 and 81.
	if err != nil || got.Drive != 60 || got.Plant != 76 || got.Top != 81 {
		t.Errorf("drive %d, plant %d, top %d, %v", got.Drive, got.Plant, got.Top, err)
	}
}
