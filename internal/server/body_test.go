package server

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/trace"
)

// measurement is a bullpen that was drawn, and how it moves.
type measurement struct {
	truth  demo.Truth
	motion []byte
}

// measure draws the film of moved, once.
var measure = sync.OnceValues(func() (m measurement, err error) {
	take, err := demo.Plan(demo.Options{Seed: 21, Reps: demo.Series(6, 6, demo.Body, 1.25), Rest: 4.6, Steady: true, Pace: demo.FPS(30, 1), Sound: demo.Sound{Off: true}})
	if err != nil {
		return m, err
	}
	m.truth = take.Truth()
	meter := trace.NewMeter(160, 90, 1)
	if err := take.Gray(context.Background(), 160, 90, func(_ int, seconds float64, pixels []byte) error {
		meter.Add(pixels, seconds)
		return nil
	}); err != nil {
		return m, err
	}
	m.motion, err = meter.Motion().MarshalBinary()
	return m, err
})

// moved is a house whose bullpen $pen has a film $film of six fastballs and six
// change-ups, all but the picture: the change-ups' bodies are a quarter slower.
// Reps are logged with reading and release; the first fastball has all four
// instants.
func moved(t *testing.T) (*house, demo.Truth) {
	t.Helper()
	h := newHouse(t)
	h.pen(t)
	return h, h.move(t)
}

// move puts the film and the reps of moved into $pen.
func (h *house) move(t *testing.T) demo.Truth {
	t.Helper()
	ctx := t.Context()
	measured, err := measure()
	if err != nil {
		t.Fatal(err)
	}
	truth, data := measured.truth, measured.motion
	id := store.NewFilmID()
	f := store.Film{
		Film: bullpen.Film{ID: id, BullpenID: h.vars["pen"], Name: "side.mp4", SHA256: "21", State: bullpen.FilmReading},
		Made: store.FilmFiles{Original: "films/" + id + "/original", Motion: "films/" + id + "/motion"},
	}
	if _, err := h.deps.Blobs.Put(ctx, f.Made.Motion, bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	if err := h.deps.Store.Expect(ctx, f.Made.Original, f.Made.Motion); err != nil {
		t.Fatal(err)
	}
	if f, _, err = h.deps.Store.AddFilm(ctx, f, store.NewJob{Kind: "none"}); err != nil {
		t.Fatal(err)
	}
	f.Clock, f.Made.Motion = truth.Clock, "films/"+id+"/motion"
	if _, err := h.deps.Store.FilmRead(ctx, f, []store.File{{Key: f.Made.Motion, Bytes: 1}}); err != nil {
		t.Fatal(err)
	}
	h.vars["film"] = id
	if a := h.send(t, http.MethodPatch, "/api/films/$film", `{"version":2,"view":"side"}`); a.status != http.StatusOK {
		t.Fatalf("view: %d %s", a.status, a.body)
	}
	for i, r := range truth.Reps {
		speed := 55.0
		if r.Pitch != bullpen.Fastball {
			speed = 45
		}
		marks := fmt.Sprintf(`"release":%d`, r.Release.Frame)
		if i == 0 {
			marks += fmt.Sprintf(`,"drive":%d,"plant":%d,"top":%d`, r.Drive.Frame, r.Plant.Frame, r.Top.Frame)
		}
		a := h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", fmt.Sprintf(`{"filmId":"$film","pitch":%q,"reading":{"value":%v,"unit":"mph","step":1,"gun":"behind catcher"},%s}`, r.Pitch, speed, marks))
		if a.status != http.StatusCreated {
			t.Fatalf("rep: %d %s", a.status, a.body)
		}
	}
	return truth
}

// sheet reads $pen's sheet once no search for instants is due, waits or runs.
func (h *house) sheet(t *testing.T) wire.Sheet {
	t.Helper()
	changes, stop := h.deps.Store.Watch()
	defer stop()
	for {
		due, err := h.deps.Proposer.Due(t.Context(), h.vars["pen"])
		if err != nil {
			t.Fatal(err)
		}
		if !due {
			break
		}
		select {
		case <-changes:
		case <-t.Context().Done():
			t.Fatal("a search for instants stays due")
		}
	}
	var out wire.Sheet
	h.until(t, "/api/bullpens/$pen", func(body string) bool {
		out = wire.Sheet{}
		if err := json.Unmarshal([]byte(body), &out); err != nil {
			t.Fatal(err)
		}
		for _, j := range out.Jobs {
			if j.State == "failed" {
				t.Fatalf("a job failed: %+v", j)
			}
			if j.Kind == "find instants" {
				return false
			}
		}
		return true
	})
	return out
}

// keepInstants stores what a search might have found in $pen, whatever else changes.
func (h *house) keepInstants(t *testing.T, films []store.InstantSearch, found []store.Instants) {
	t.Helper()
	for {
		_, revision, err := h.deps.Store.Bullpen(t.Context(), h.vars["pen"])
		if err == nil {
			err = h.deps.Store.KeepInstants(t.Context(), h.vars["pen"], revision, films, found)
		}
		if bullpen.CodeOf(err) == bullpen.Conflict {
			continue
		}
		if err != nil {
			t.Error(err)
		}
		return
	}
}

func TestTheBodyIsFollowedFromOneFastball(t *testing.T) {
	h, truth := moved(t)
	sheet := h.sheet(t)
	if len(sheet.Body.Checks) != 1 || !sheet.Body.Marked || len(sheet.Body.Films) != 1 || sheet.Body.Films[0].Refusal != "" {
		t.Fatalf("%+v", sheet.Body)
	}
	c := sheet.Body.Checks[0]
	if c.Verdict != tempo.SlowedBody || c.FromBehind || c.Fast < 5 || c.Off < 5 {
		t.Errorf("%+v", c)
	}
	if c.Legs == nil || c.Legs.Lo > 25 || c.Legs.Hi < 25 {
		t.Errorf("the legs took 25 %% longer; said %+v", c.Legs)
	}
	// 80 % of a 55 mph fastball's body speed gives up 11 mph of a gap of 10: all of it.
	if c.Split == nil || c.Split.Gap.MPH != 10 || math.Abs(c.Split.Body.MPH-11) > 2.5 || c.Split.BodyRange.Lo.MPH > c.Split.Body.MPH {
		t.Errorf("split %+v", c.Split)
	}
	if sheet.Body.Eye.Known || sheet.Body.Eye.Millis != 8 {
		t.Errorf("eye %+v", sheet.Body.Eye)
	}
	followed := 0
	for i, r := range sheet.Reps {
		if r.Body == nil || r.Found == nil {
			t.Fatalf("rep %d: body %v, found %v", i+1, r.Body, r.Found)
		}
		if r.Body.Legs == nil {
			if r.Body.Pending == "" {
				t.Errorf("rep %d has no body speed, and nobody says why", i+1)
			}
			continue
		}
		followed++
		if want := 100 * truth.Reps[0].Legs() / truth.Reps[i].Legs(); r.Pitch != bullpen.Fastball && (math.Abs(r.Body.Legs.Percent-want) > 9 || r.Body.Legs.Within) {
			t.Errorf("rep %d: body %+v, truly about %.0f %%", i+1, r.Body.Legs, want)
		}
		if r.Body.LegsFrom != tempo.ByFinder {
			t.Errorf("rep %d: legs from %q", i+1, r.Body.LegsFrom)
		}
	}
	if followed < 11 {
		t.Errorf("only %d of 12 reps followed", followed)
	}

	// What was found becomes marks in one call; nothing else changes.
	if sheet.Body.Found < 3*10 {
		t.Errorf("%d instants to accept", sheet.Body.Found)
	}
	one := h.send(t, http.MethodPost, "/api/bullpens/$pen/instants/accept", fmt.Sprintf(`{"repIds":[%q]}`, sheet.Reps[1].ID))
	if one.status != http.StatusOK || !strings.Contains(one.body, `"reps":1`) {
		t.Errorf("accept one: %d %s", one.status, one.body)
	}
	all := h.send(t, http.MethodPost, "/api/bullpens/$pen/instants/accept", `{"filmId":"$film"}`)
	after := h.sheet(t)
	if all.status != http.StatusOK || after.Body.Found != 0 || after.Reps[5].Drive == nil {
		t.Errorf("accept all: %d %s, %d left", all.status, all.body, after.Body.Found)
	}
	for _, r := range after.Reps[1:] {
		if r.Found == nil || r.Drive == nil {
			continue
		}
		if at := r.Found.Drive.Accepted; at == nil || *at != *r.Drive {
			t.Errorf("rep %d: the drive at %d is not said to be accepted there: %v", r.Order, *r.Drive, at)
		}
	}
	if at := after.Reps[0].Found; at != nil && at.Drive.Accepted != nil {
		t.Errorf("the drive marked by hand is said to be accepted at %d", *at.Drive.Accepted)
	}
	if got := after.Body.Checks[0]; got.Legs == nil || math.Abs(got.Legs.Percent-c.Legs.Percent) > 0.3 {
		t.Errorf("accepting moved the legs from %+v to %+v", c.Legs, got.Legs)
	}
}

// slower returns the first of a sheet's slower pitches in which instants were found and that
// is such.
func slower(t *testing.T, sheet wire.Sheet, such func(wire.Rep) bool) wire.Rep {
	t.Helper()
	for _, r := range sheet.Reps {
		if r.Pitch != bullpen.Fastball && r.Found != nil && such(r) {
			return r
		}
	}
	t.Fatal("no rep is such")
	return wire.Rep{}
}

// A mark on a change-up that is put beside what was found counts for that rep, however
// near it is, and moves nothing on the others; one on what was found leaves it so.
func TestAMovedMarkCounts(t *testing.T) {
	h, _ := moved(t)
	sheet := h.sheet(t)
	r := slower(t, sheet, func(r wire.Rep) bool { return r.Found.Plant.Within > 0 && r.Found.Drive.Within > 0 })
	speed := func(sheet wire.Sheet, i int) float64 {
		b := sheet.Reps[i-1].Body
		if b == nil || b.Legs == nil {
			return 0
		}
		return b.Legs.Percent
	}
	before := speed(sheet, r.Order)
	put := func(version int64, mark string, frame any) wire.Sheet {
		t.Helper()
		a := h.send(t, http.MethodPatch, "/api/reps/"+r.ID, fmt.Sprintf(`{"version":%d,%q:%v}`, version, mark, frame))
		if a.status != http.StatusOK {
			t.Fatalf("%d %s", a.status, a.body)
		}
		return h.sheet(t)
	}
	on := put(r.Version, "plant", r.Found.Plant.Frame)
	if got := on.Reps[r.Order-1].Body; got.LegsFrom != tempo.ByFinder || got.Legs.Percent != before {
		t.Errorf("a mark on what was found: %+v", got.Legs)
	}
	// One frame of 33 ms is less than three times what a mark at 30 a second may be off.
	earlier := put(r.Version+1, "plant", r.Found.Plant.Frame-1)
	if got := earlier.Reps[r.Order-1].Body; got.LegsFrom != tempo.ByHand || got.Legs.Percent < before+4 {
		t.Errorf("moved from there: %+v from %s, was %.1f", got.Legs, got.LegsFrom, before)
	}
	put(r.Version+2, "plant", "null")
	after := put(r.Version+3, "plant", r.Found.Plant.Frame+1)
	if got := after.Reps[r.Order-1].Body; got.LegsFrom != tempo.ByHand || got.Legs.Percent > before-2 {
		t.Errorf("put beside what was found: %+v from %s, was %.1f", got.Legs, got.LegsFrom, before)
	}
	for i, other := range sheet.Reps {
		if other.ID != r.ID && *other.Found != *after.Reps[i].Found {
			t.Errorf("rep %d is found elsewhere", other.Order)
		}
	}
}

// Marks taken off, found a frame away meanwhile, accepted there and undone step by step:
// the marks are back, and so is what they say, arm and all. At 30 frames a second only
// marks that stand for what was found tell the arm.
func TestUndoneMarksCountAsBefore(t *testing.T) {
	h, _ := moved(t)
	r := slower(t, h.sheet(t), func(r wire.Rep) bool {
		return r.Found.Plant.Within > 0 && r.Found.Drive.Within > 0 && r.Found.Top.Within > 0 && r.Body.Arm != nil
	})
	version := r.Version
	put := func(marksOf int64, drive, plant, top any) wire.Rep {
		t.Helper()
		as := ""
		if marksOf > 0 {
			as = fmt.Sprintf(`,"marksOf":%d`, marksOf)
		}
		a := h.send(t, http.MethodPatch, "/api/reps/"+r.ID, fmt.Sprintf(`{"version":%d%s,"drive":%v,"plant":%v,"top":%v}`, version, as, drive, plant, top))
		if a.status != http.StatusOK {
			t.Fatalf("%d %s", a.status, a.body)
		}
		now := h.sheet(t).Reps[r.Order-1]
		version = now.Version
		return now
	}
	drive, plant, top := r.Found.Drive.Frame, r.Found.Plant.Frame, r.Found.Top.Frame
	before := put(0, drive, plant, top)
	if before.Body.Arm == nil || before.Body.ArmFrom != tempo.ByFinder {
		t.Fatalf("%+v", before.Body)
	}
	accepted := version
	put(0, "null", "null", "null")
	off := version

	// A search finds them a frame later.
	pen := h.vars["pen"]
	films, err := h.deps.Store.InstantSearch(t.Context(), pen)
	if err != nil {
		t.Fatal(err)
	}
	found, err := h.deps.Store.Instants(t.Context(), pen)
	if err != nil {
		t.Fatal(err)
	}
	moved := slices.Clone(found)
	for i := range moved {
		if moved[i].RepID == r.ID {
			moved[i].Drive.Seconds, moved[i].Plant.Seconds, moved[i].Top.Seconds = moved[i].Drive.Seconds+1./30, moved[i].Plant.Seconds+1./30, moved[i].Top.Seconds+1./30
		}
	}
	h.keepInstants(t, films, moved)
	if a := h.send(t, http.MethodPost, "/api/bullpens/$pen/instants/accept", fmt.Sprintf(`{"repIds":[%q]}`, r.ID)); !strings.Contains(a.body, `"marks":3`) {
		t.Fatalf("%d %s", a.status, a.body)
	}
	version = h.sheet(t).Reps[r.Order-1].Version
	put(off, "null", "null", "null")
	back := put(accepted, drive, plant, top)
	if back.Body.ArmFrom != tempo.ByFinder || back.Body.Arm == nil {
		t.Errorf("arm from %q, %+v", back.Body.ArmFrom, back.Body.Arm)
	}
	// And with what was found as it was, the very same numbers.
	h.keepInstants(t, films, found)
	if back = h.sheet(t).Reps[r.Order-1]; back.Body.LegsFrom != before.Body.LegsFrom || *back.Body.Arm != *before.Body.Arm || *back.Body.Legs != *before.Body.Legs {
		t.Errorf("arm %+v, was %+v; legs %+v, were %+v", back.Body.Arm, before.Body.Arm, back.Body.Legs, before.Body.Legs)
	}
}

// A rep of a homework that was left out moves all after it along the workout: a fastball
// may be a change-up then, and nothing found from it as a fastball stands.
func TestAShiftHasInstantsFoundAgain(t *testing.T) {
	h := newHouse(t)
	measured, err := measure()
	if err != nil {
		t.Fatal(err)
	}
	var lines []string
	last := 0
	for i, r := range measured.truth.Reps {
		lines = append(lines, fmt.Sprintf(`{"drill":"","pitch":%q,"reps":1}`, r.Pitch))
		if r.Pitch == bullpen.Fastball && i > 0 && i+1 < len(measured.truth.Reps) && measured.truth.Reps[i+1].Pitch != bullpen.Fastball {
			last = i
		}
	}
	h.keep(t, "wren", "id", h.send(t, "POST", "/api/pitchers", `{"label":"Wren"}`))
	h.keep(t, "workout", "id", h.send(t, "POST", "/api/workouts", `{"title":"As filmed","sets":[{"times":1,"lines":[`+strings.Join(lines, ",")+`]}]}`))
	h.keep(t, "pen", "bullpenId", h.send(t, "POST", "/api/homework", `{"pitcherId":"$wren","workoutId":"$workout"}`))
	h.move(t)
	r := h.sheet(t).Reps[last]
	before, err := h.deps.Store.InstantSearch(t.Context(), h.vars["pen"])
	if err != nil || len(before) != 1 {
		t.Fatalf("%+v, %v", before, err)
	}
	if a := h.send(t, http.MethodPost, "/api/reps/"+r.ID+"/shift", `{"by":1}`); a.status != http.StatusOK {
		t.Fatalf("shift: %d %s", a.status, a.body)
	}
	if now := h.sheet(t).Reps[last]; now.Pitch == r.Pitch {
		t.Fatalf("rep %d is still a %s", now.Order, now.Pitch)
	}
	after, err := h.deps.Store.InstantSearch(t.Context(), h.vars["pen"])
	if err != nil || len(after) != 1 || after[0].Inputs == before[0].Inputs {
		t.Errorf("still found from what is a fastball no more: %+v, %v", after, err)
	}
}

// However long a search for instants takes, a sheet that tells of none shows what it
// found: never what was there before beside a search that is over.
func TestASheetWithoutASearchShowsWhatItFound(t *testing.T) {
	h, _ := moved(t)
	h.sheet(t)
	ctx, pen := t.Context(), h.vars["pen"]
	films, err := h.deps.Store.InstantSearch(ctx, pen)
	if err != nil {
		t.Fatal(err)
	}
	found, err := h.deps.Store.Instants(ctx, pen)
	if err != nil || len(found) == 0 {
		t.Fatalf("%+v, %v", found, err)
	}
	var delay time.Duration
	h.follow = func(_ context.Context, _ store.Job, _ func(float64)) error {
		time.Sleep(delay)
		h.keepInstants(t, films, found)
		return nil
	}
	for n := range 60 {
		delay = time.Duration(n) * 200 * time.Microsecond
		for i := range found {
			found[i].Match = float64(n) / 100
		}
		if _, err := h.deps.Store.AddJob(ctx, store.NewJob{Kind: propose.InstantsKind, Subject: pen, BullpenID: pen, Payload: "{}"}); err != nil {
			t.Fatal(err)
		}
		for searching := true; searching; {
			var sheet wire.Sheet
			if err := json.Unmarshal([]byte(h.send(t, http.MethodGet, "/api/bullpens/$pen", "").body), &sheet); err != nil {
				t.Fatal(err)
			}
			searching = slices.ContainsFunc(sheet.Jobs, func(j wire.Job) bool { return j.Kind == propose.InstantsKind })
			if got := sheet.Reps[1].Found.Match; !searching && got != float64(n)/100 {
				t.Fatalf("after a search of %v: it found %v, the sheet shows %v", delay, float64(n)/100, got)
			}
		}
	}
}

// What follows over weeks, and what is handed out, says the same.
func TestTheBodyIsSaidEverywhere(t *testing.T) {
	h, _ := moved(t)
	sheet := h.sheet(t)
	h.vars["her"] = sheet.Pitcher.ID
	speed := sheet.Body.Checks[0].Legs.Speed
	var page wire.PitcherPage
	a := h.send(t, http.MethodGet, "/api/pitchers/$her", "")
	if err := json.Unmarshal([]byte(a.body), &page); err != nil {
		t.Fatal(err)
	}
	said := false
	for _, trend := range page.Trends {
		if trend.Pitch == bullpen.ChangeUp && len(trend.Points) == 1 {
			b := trend.Points[0].Body
			said = b != nil && b.Verdict == tempo.SlowedBody && b.Legs.Speed == speed
		}
	}
	if !said {
		t.Errorf("the trend: %s", a.body)
	}
	a = h.send(t, http.MethodPut, "/api/pitchers/$her/trust", fmt.Sprintf(`{"version":%d,"pitch":"ch","lines":[{"kind":"same body","need":1,"of":2}]}`, sheet.Pitcher.Version))
	if a.status != http.StatusOK || !strings.Contains(a.body, `"have":"same body in 0 of 1 so far (likely 0 to 79 % in the long run)"`) || !strings.Contains(a.body, `"trusted":false`) {
		t.Errorf("the rule: %d %s", a.status, a.body)
	}
	a = h.send(t, http.MethodGet, "/api/bullpens/$pen/reps.csv", "")
	if !strings.Contains(a.body, "bodyPercent") || !strings.Contains(a.body, ",found,") {
		t.Errorf("the table: %s", a.body)
	}
	// Another baseline pitch: her change-ups carry no marks to go by.
	a = h.send(t, http.MethodPatch, "/api/pitchers/$her", fmt.Sprintf(`{"version":%d,"baselinePitch":"ch"}`, sheet.Pitcher.Version+1))
	if a.status != http.StatusOK {
		t.Fatalf("baseline: %d %s", a.status, a.body)
	}
	if after := h.sheet(t); after.Reps[1].Found != nil || after.Body.Marked {
		t.Errorf("still followed from fastballs: %+v", after.Body)
	}
}

func TestPairOnOneClock(t *testing.T) {
	h, truth := moved(t)
	sheet := h.sheet(t)
	off := 0
	for truth.Reps[off].Pitch == bullpen.Fastball {
		off++
	}
	var look wire.Pair
	a := h.send(t, http.MethodGet, "/api/pairs?off="+sheet.Reps[off].ID+"&fast="+sheet.Reps[0].ID, "")
	if err := json.Unmarshal([]byte(a.body), &look); err != nil || a.status != http.StatusOK {
		t.Fatalf("%d %s", a.status, a.body)
	}
	if len(look.Phases) != 4 || !strings.HasPrefix(look.Sentence, "Legs, drive to plant ") || look.Stretch == nil {
		t.Fatalf("%+v %q", look.Phases, look.Sentence)
	}
	for _, p := range look.Phases {
		r, f := truth.Reps[off], truth.Reps[0]
		at := func(r demo.RepTruth, e string) float64 {
			return map[string]float64{"drive": r.Drive.Seconds, "plant": r.Plant.Seconds, "top": r.Top.Seconds, "release": r.Release.Seconds}[e]
		}
		want := 1000 * (at(r, p.To) - at(r, p.From) - at(f, p.To) + at(f, p.From))
		if math.Abs(p.Difference-want) > 35 || p.U <= 0 || math.Abs(p.OffMillis-p.FastMillis-p.Difference) > 1e-9 {
			t.Errorf("%+v, truly %.0f ms", p, want)
		}
	}
	for _, side := range []wire.PairSide{look.Off, look.Fast} {
		i := side.Instants
		if i.Drive == nil || i.Release == nil || i.Release.Seconds != 0 || i.Drive.Seconds > -0.3 || i.Drive.Frame >= i.Release.Frame {
			t.Errorf("%+v", i)
		}
		if len(side.Motion.Values) != 97 || side.Motion.From != -1.2 {
			t.Errorf("motion %d values from %v", len(side.Motion.Values), side.Motion.From)
		}
	}
	if want := truth.Reps[off].Release.Seconds - truth.Reps[off].Drive.Seconds; math.Abs(*look.Stretch-want/(truth.Reps[0].Release.Seconds-truth.Reps[0].Drive.Seconds)) > 0.06 {
		t.Errorf("stretch %v", *look.Stretch)
	}
}

func TestInstantsAreRefusedWithTheReason(t *testing.T) {
	h := filmed(t)
	if a := h.send(t, http.MethodPost, "/api/bullpens/$pen/instants/find", ""); a.status != http.StatusUnprocessableEntity && a.status != http.StatusBadRequest {
		t.Errorf("without marks: %d %s", a.status, a.body)
	}
	for i, r := range drawn.truth.Reps {
		marks := fmt.Sprintf(`"release":%d`, r.Release.Frame)
		if i == 0 {
			marks += fmt.Sprintf(`,"drive":%d,"plant":%d,"top":%d`, r.Drive.Frame, r.Plant.Frame, r.Top.Frame)
		}
		h.send(t, http.MethodPost, "/api/bullpens/$pen/reps", fmt.Sprintf(`{"filmId":"$film","pitch":%q,%s}`, r.Pitch, marks))
	}
	sheet := h.sheet(t)
	if len(sheet.Body.Films) != 1 || !strings.Contains(sheet.Body.Films[0].Refusal, "2 fastballs") {
		t.Errorf("%+v", sheet.Body.Films)
	}
	if c := sheet.Body.Checks[0]; c.Verdict != tempo.CantTell || c.Split != nil || c.Sentence == "" {
		t.Errorf("%+v", c)
	}
	if a := h.send(t, http.MethodPost, "/api/bullpens/$pen/instants/find", ""); a.status != http.StatusAccepted {
		t.Errorf("asked again: %d %s", a.status, a.body)
	}
}

func TestTheEyeIsMeasured(t *testing.T) {
	h, truth := moved(t)
	var task wire.RemarkTask
	read := func(a answer, into any) {
		t.Helper()
		if err := json.Unmarshal([]byte(a.body), into); err != nil || a.status != http.StatusOK {
			t.Fatalf("%d %s", a.status, a.body)
		}
	}
	if read(h.send(t, http.MethodGet, "/api/bullpens/$pen/remark", ""), &task); len(task.Reps) != 5 || len(task.Reps[0].Instants) != 4 {
		t.Fatalf("%+v", task)
	}
	// One frame beside the first mark on every release.
	var again []string
	sheet := h.sheet(t)
	for _, r := range task.Reps {
		for i, s := range sheet.Reps {
			if s.ID == r.RepID {
				again = append(again, fmt.Sprintf(`{"repId":%q,"release":%d}`, r.RepID, truth.Reps[i].Release.Frame+1))
			}
		}
	}
	var eye wire.Eye
	read(h.send(t, http.MethodPut, "/api/eye", `{"reps":[`+strings.Join(again, ",")+`]}`), &eye)
	frame := 1000 * truth.Clock.RealSeconds(0, 1)
	if want := math.Sqrt(frame*frame/2 - frame*frame/12); !eye.Known || math.Abs(eye.Millis-want) > 0.01 || eye.Marks != 5 || eye.Day == "" {
		t.Errorf("%+v, want %.3f ms", eye, want)
	}
	if got := h.sheet(t).Body.Eye; got != eye {
		t.Errorf("the sheet reckons with %+v, measured %+v", got, eye)
	}
	read(h.send(t, http.MethodGet, "/api/eye", ""), &eye)
	read(h.send(t, http.MethodDelete, "/api/eye", ""), &eye)
	if eye.Known || eye.Millis != 8 {
		t.Errorf("forgotten, and yet %+v", eye)
	}
	if a := h.send(t, http.MethodPut, "/api/eye", `{"reps":[`+again[0]+`]}`); a.status != http.StatusUnprocessableEntity && a.status != http.StatusBadRequest {
		t.Errorf("one mark: %d %s", a.status, a.body)
	}
}
