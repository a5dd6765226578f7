package store

import (
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

// order says the reps of a bullpen as thrown: each one's reading, after a check
// that they are numbered 1, 2, 3 ...
func order(t testing.TB, s *Store, b bullpen.Bullpen) string {
	t.Helper()
	reps, err := s.Reps(t.Context(), b.ID)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for i, r := range reps {
		if r.Order != i+1 {
			t.Errorf("rep %d of the list has order %d", i+1, r.Order)
		}
		out = append(out, fmt.Sprint(r.Reading.Value))
	}
	return strings.Join(out, " ")
}

func valued(r bullpen.Rep, value float64) bullpen.Rep {
	r.Reading.Value = value
	return r
}

func TestOrderFollowsTheFilms(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	one := ready(t, s, b, "a.mov", 100, 0)
	two := ready(t, s, b, "b.mov", 100, 0)
	second := add(t, s, valued(marked(one, 50, bullpen.Fastball), 52))
	add(t, s, valued(marked(one, 10, bullpen.Fastball), 51))
	add(t, s, valued(marked(two, 5, bullpen.Fastball), 54))
	third := add(t, s, valued(unmarked(b, bullpen.ChangeUp, 0), 55)) // read off the gun, thrown last
	add(t, s, valued(marked(one, 90, bullpen.Fastball), 53))
	if got, want := order(t, s, b), "51 52 53 54 55"; got != want {
		t.Fatalf("entered: %s, want %s", got, want)
	}
	// A mark that is moved takes its rep along.
	second, err := s.Rep(t.Context(), second.ID)
	if err != nil {
		t.Fatal(err)
	}
	second.Release = 95
	second, _, err = s.SaveRep(t.Context(), second)
	if err != nil || second.Order != 3 {
		t.Fatalf("moved mark: order %d, %v", second.Order, err)
	}
	// One without a mark can be put anywhere.
	third.Order = 2
	third, _, err = s.SaveRep(t.Context(), third)
	if err != nil || third.Order != 2 {
		t.Fatalf("put second: order %d, %v", third.Order, err)
	}
	if got, want := order(t, s, b), "51 55 53 52 54"; got != want {
		t.Fatalf("moved: %s, want %s", got, want)
	}
	// The films change places, and the reps with them.
	two, err = s.Film(t.Context(), two.ID)
	if err != nil {
		t.Fatal(err)
	}
	two.Position = 0
	if _, err := s.SaveFilm(t.Context(), two.Film); err != nil {
		t.Fatal(err)
	}
	if got, want := order(t, s, b), "54 51 55 53 52"; got != want {
		t.Errorf("films changed places: %s, want %s", got, want)
	}
}

func TestTakenOutAndBack(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	var reps []bullpen.Rep
	for _, v := range []float64{51, 52, 53} {
		reps = append(reps, add(t, s, unmarked(b, bullpen.Fastball, v)))
	}
	_, err := s.RemoveRep(t.Context(), reps[1].ID, 7)
	wantCode(t, err, bullpen.Conflict)
	revision, err := s.RemoveRep(t.Context(), reps[1].ID, reps[1].Version)
	if err != nil || revision != 5 {
		t.Fatalf("revision %d, %v", revision, err)
	}
	if got := order(t, s, b); got != "51 53" {
		t.Errorf("without it: %s", got)
	}
	_, err = s.Rep(t.Context(), reps[1].ID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.RemoveRep(t.Context(), reps[1].ID, 0)
	wantCode(t, err, bullpen.NotFound)
	_, _, err = s.SaveRep(t.Context(), reps[1])
	wantCode(t, err, bullpen.NotFound)
	cards, _, err := s.Bullpens(t.Context(), "", Page{})
	if err != nil || cards[0].Reps != 2 || cards[0].Readings != 2 {
		t.Errorf("card %+v, %v", cards, err)
	}
	back, _, err := s.RestoreRep(t.Context(), reps[1].ID)
	if err != nil || back.Version != 3 || back.Order != 2 {
		t.Errorf("back: %+v, %v", back, err)
	}
	if got := order(t, s, b); got != "51 52 53" {
		t.Errorf("with it again: %s", got)
	}
	again, _, err := s.RestoreRep(t.Context(), reps[1].ID)
	if err != nil || again.Version != back.Version {
		t.Errorf("brought back twice: %+v, %v", again, err)
	}
}

func TestTwoWindows(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	seen := add(t, s, unmarked(b, bullpen.Fastball, 55))
	mine, yours := seen, seen
	mine.Note, yours.Note = "mine", "yours"
	if _, _, err := s.SaveRep(t.Context(), mine); err != nil {
		t.Fatal(err)
	}
	_, _, err := s.SaveRep(t.Context(), yours)
	wantCode(t, err, bullpen.Conflict)
	// Of readings entered together, one that is stale holds all of them back.
	other := add(t, s, unmarked(b, bullpen.ChangeUp, 45))
	other.Note = "entered"
	_, err = s.SaveReps(t.Context(), []bullpen.Rep{other, yours})
	wantCode(t, err, bullpen.Conflict)
	if got, err := s.Rep(t.Context(), other.ID); err != nil || got.Note != "" {
		t.Errorf("half of the readings were stored: %+v, %v", got, err)
	}

	p, err := s.Pitcher(t.Context(), b.PitcherID)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.SavePitcher(t.Context(), p); err != nil {
		t.Fatal(err)
	}
	_, err = s.SavePitcher(t.Context(), p)
	wantCode(t, err, bullpen.Conflict)
	wantCode(t, s.SaveTrustRule(t.Context(), p.ID, p.Version, "{}"), bullpen.Conflict)
	p.ID = "nobody"
	_, err = s.SavePitcher(t.Context(), p)
	wantCode(t, err, bullpen.NotFound)
}

// What is set of a rep is written again into every index that it is in: only what differs is.
func TestOnlyWhatDiffersIsSet(t *testing.T) {
	r, read := unmarked(bullpen.Bullpen{ID: "b"}, bullpen.ChangeUp, 45), unmarked(bullpen.Bullpen{ID: "b"}, bullpen.ChangeUp, 46)
	noted := r
	noted.Note = "hips first"
	moved := read
	moved.FilmID, moved.Release = "f", 7
	for want, now := range map[string]bullpen.Rep{
		"": r, "note = ?": noted, "reading = ?": read, `film_id = ?, "release" = ?, reading = ?`: moved,
	} {
		set, values := changedIn(r, now)
		if got := strings.Join(set, ", "); got != want || len(values) != len(set) {
			t.Errorf("%s with %d values, not %s", got, len(values), want)
		}
	}
}

// TestManyWriters has several windows mark at once: nobody is turned away, and
// nothing is lost.
func TestManyWriters(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	const windows, each = 4, 8
	var all sync.WaitGroup
	for range windows {
		all.Go(func() {
			for i := range each {
				if _, _, err := s.AddRep(t.Context(), unmarked(b, bullpen.Fastball, float64(40+i))); err != nil {
					t.Error(err)
				}
				if _, err := s.Reps(t.Context(), b.ID); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	reps, err := s.Reps(t.Context(), b.ID)
	if err != nil || len(reps) != windows*each {
		t.Errorf("%d reps, %v", len(reps), err)
	}
	order(t, s, b)
}

func TestMarksBelongToTheFilm(t *testing.T) {
	s := fresh(t)
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-12")
	f := ready(t, s, b, "a.mov", 100, 0)
	early := reading(t, s, b, "b.mov", "b")
	for name, r := range map[string]bullpen.Rep{
		"beyond the end":     marked(f, 100, bullpen.Fastball),
		"not read yet":       marked(early, 0, bullpen.Fastball),
		"no such film":       {BullpenID: b.ID, FilmID: "nothing", Drive: -1, Plant: -1, Top: -1, Release: 3},
		"another's film":     {BullpenID: other.ID, FilmID: f.ID, Drive: -1, Plant: -1, Top: -1, Release: 3},
		"mark without film":  {BullpenID: b.ID, Drive: -1, Plant: 2, Top: -1, Release: -1},
		"another's, unasked": {BullpenID: other.ID, FilmID: f.ID, Drive: -1, Plant: -1, Top: -1, Release: -1},
	} {
		t.Run(name, func(t *testing.T) {
			_, _, err := s.AddRep(t.Context(), r)
			wantCode(t, err, bullpen.Invalid)
		})
	}
	_, _, err := s.AddRep(t.Context(), unmarked(bullpen.Bullpen{ID: "nothing"}, bullpen.Fastball, 50))
	wantCode(t, err, bullpen.NotFound)
}

func TestRepsMoveWithTheirBullpen(t *testing.T) {
	s := fresh(t)
	b, mo := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-05-01")
	add(t, s, unmarked(b, bullpen.Fastball, 50))
	warm := unmarked(b, bullpen.Fastball, 40)
	warm.WarmUp = true
	add(t, s, warm)
	b.Day, b.PitcherID = "2026-05-02", mo.PitcherID
	b, revision, err := s.SaveBullpen(t.Context(), b)
	if err != nil || revision != 4 || b.Version != 2 {
		t.Fatalf("%+v, revision %d, %v", b, revision, err)
	}
	rows, next, err := s.FindReps(t.Context(), RepFilter{PitcherID: mo.PitcherID, From: "2026-05-02", To: "2026-05-02"}, Page{})
	if err != nil || len(rows) != 2 || next != "" || rows[0].PitcherLabel != "Mo" || rows[0].Day != "2026-05-02" {
		t.Errorf("%+v %q %v", rows, next, err)
	}
	days, err := s.ThrowDays(t.Context(), mo.PitcherID)
	same(t, days, []ThrowDay{{Day: "2026-05-02", Reps: 2, WarmUp: 1}}, err)
}

func TestPitcherThrows(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 100, 0)
	a := marked(f, 20, bullpen.ChangeUp)
	a.Reading = &bullpen.Reading{Value: 77.25, Unit: bullpen.KMH, Step: 0.1, Gun: bullpen.BesidePitcher}
	a.Call, a.WarmUp, a.Drill, a.Note, a.Set, a.Number = bullpen.Ball, true, "one\x1ftwo, \"three\"", "left out", 3, 4
	bare := marked(f, 40, bullpen.Rise)
	bare.Reading = nil
	add(t, s, a)
	add(t, s, bare)
	add(t, s, marked(f, 30, bullpen.Fastball))
	whole, err := s.PitcherReps(t.Context(), b.PitcherID)
	if err != nil || len(whole) != 3 {
		t.Fatalf("%d reps, %v", len(whole), err)
	}
	for i := range whole {
		r := &whole[i]
		r.FilmID, r.Release, r.Note, r.Set, r.Number, r.Version = "", bullpen.Unmarked, "", 0, 0, 0
	}
	got, err := s.PitcherThrows(t.Context(), b.PitcherID)
	same(t, got, whole, err)
}

func TestFindReps(t *testing.T) {
	s := fresh(t)
	kit, mo := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-12")
	for i := range 7 {
		pitch := bullpen.Fastball
		if i%2 == 1 {
			pitch = bullpen.ChangeUp
		}
		add(t, s, unmarked(kit, pitch, float64(50+i)))
		add(t, s, unmarked(mo, pitch, float64(60+i)))
	}
	gone := add(t, s, unmarked(kit, bullpen.Fastball, 99))
	if _, err := s.RemoveRep(t.Context(), gone.ID, 0); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name   string
		filter RepFilter
		want   string
	}{
		{"all", RepFilter{}, "66 65 64 63 62 61 60 56 55 54 53 52 51 50"},
		{"hers", RepFilter{PitcherID: kit.PitcherID}, "56 55 54 53 52 51 50"},
		{"pitch", RepFilter{Pitch: bullpen.ChangeUp}, "65 63 61 55 53 51"},
		{"her pitch", RepFilter{PitcherID: mo.PitcherID, Pitch: bullpen.ChangeUp}, "65 63 61"},
		{"to", RepFilter{To: "2026-04-11"}, "56 55 54 53 52 51 50"},
		{"from", RepFilter{From: "2026-04-12", Pitch: bullpen.Fastball}, "66 64 62 60"},
		{"none", RepFilter{From: "2026-04-13"}, ""},
	} {
		for _, limit := range []int{1, 3, 500} {
			t.Run(fmt.Sprint(c.name, limit), func(t *testing.T) {
				var got []string
				page := Page{Limit: limit}
				for {
					rows, next, err := s.FindReps(t.Context(), c.filter, page)
					if err != nil {
						t.Fatal(err)
					}
					for _, r := range rows {
						got = append(got, fmt.Sprint(r.Reading.Value))
					}
					if page.Cursor = next; next == "" {
						break
					}
				}
				if diff := cmp.Diff(c.want, strings.Join(got, " ")); diff != "" {
					t.Error(diff)
				}
			})
		}
	}
	for _, cursor := range []string{"x", "a b c d", "a b 1"} {
		_, _, err := s.FindReps(t.Context(), RepFilter{}, Page{Cursor: cursor})
		wantCode(t, err, bullpen.Invalid)
	}
}

func TestPurge(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 100, 0)
	gone, stays := add(t, s, marked(f, 10, bullpen.ChangeUp)), add(t, s, marked(f, 50, bullpen.ChangeUp))
	c := finished(t, s, b, gone.ID, "")
	finished(t, s, b, stays.ID, "")
	if _, err := s.RemoveRep(t.Context(), gone.ID, 0); err != nil {
		t.Fatal(err)
	}
	if loose, err := s.PurgeReps(t.Context(), time.Now().Add(-time.Hour)); err != nil || len(loose) != 0 {
		t.Fatalf("too early: %v, %v", loose, err)
	}
	loose, err := s.PurgeReps(t.Context(), time.Now().Add(time.Hour))
	same(t, loose, []File{{Key: "clips/" + c.ID + "/1/clip.mp4", Bytes: 7}}, err)
	_, _, err = s.RestoreRep(t.Context(), gone.ID)
	wantCode(t, err, bullpen.NotFound)
	_, err = s.Clip(t.Context(), c.ID)
	wantCode(t, err, bullpen.NotFound)
	listed, err := s.LooseFiles(t.Context())
	same(t, listed, loose, err)
}

// finished stores a clip of a rep, or of two, with one file.
func finished(t testing.TB, s *Store, b bullpen.Bullpen, repID, otherID string) Clip {
	t.Helper()
	kind := "single"
	if otherID != "" {
		kind = "pair"
	}
	c, err := s.QueueClip(t.Context(), Clip{BullpenID: b.ID, Kind: kind, RepID: repID, OtherID: otherID, Options: "{}"}, NewJob{Kind: "render clip", Payload: "{}"})
	if err != nil {
		t.Fatal(err)
	}
	c.Shows, c.Bytes, c.Seconds, c.ReleaseAt, c.Made = "digest", 7, 4, 2.5, "{}"
	if _, err := s.FinishClip(t.Context(), c, []File{{Key: "clips/" + c.ID + "/1/clip.mp4", Bytes: 7}}); err != nil {
		t.Fatal(err)
	}
	c, err = s.Clip(t.Context(), c.ID)
	if err != nil || c.State != "ready" {
		t.Fatalf("%+v, %v", c, err)
	}
	return c
}

// TestSentTwice sends a rep again as a page does that lost the answer.
func TestSentTwice(t *testing.T) {
	s := fresh(t)
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-12")
	send := func(b bullpen.Bullpen, mph float64, as string) (bullpen.Rep, int64, error) {
		return s.AddRepOnce(t.Context(), unmarked(b, bullpen.Fastball, mph), as)
	}
	first, at, err := send(b, 51, "k")
	if err != nil {
		t.Fatal(err)
	}
	changed := first
	changed.Note = "meanwhile"
	changed, later, err := s.SaveRep(t.Context(), changed)
	if err != nil || later <= at {
		t.Fatal(later, err)
	}
	again, now, err := send(b, 51, "k")
	same(t, again, changed, err)
	if now != later {
		t.Errorf("revision %d, not %d", now, later)
	}
	for _, c := range []struct {
		b  bullpen.Bullpen
		as string
	}{{b, "l"}, {b, ""}, {b, ""}, {other, "k"}} {
		if r, _, err := send(c.b, 51, c.as); err != nil || r.ID == first.ID {
			t.Errorf("%q of another: %+v, %v", c.as, r, err)
		}
	}
	same(t, order(t, s, b), "51 51 51 51", nil)
	same(t, order(t, s, other), "51", nil)
	if _, err := s.RemoveRep(t.Context(), first.ID, 0); err != nil {
		t.Fatal(err)
	}
	_, _, err = send(b, 51, "k")
	wantCode(t, err, bullpen.NotFound)
	// Sent at once from everywhere it is logged once.
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			if _, _, err := send(other, 60, "m"); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	same(t, order(t, s, other), "51 60", nil)
}

// TestComesBackInItsPlace deletes and restores reps that are on no film.
func TestComesBackInItsPlace(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	by := map[float64]bullpen.Rep{}
	for _, mph := range []float64{51, 52, 54, 53} {
		by[mph] = add(t, s, unmarked(b, bullpen.Fastball, mph))
	}
	late := by[53]
	late.Order = 3
	if _, _, err := s.SaveRep(t.Context(), late); err != nil {
		t.Fatal(err)
	}
	same(t, order(t, s, b), "51 52 53 54", nil)
	for _, gone := range [][]float64{{53}, {51}, {54}, {53, 52}, {51, 52, 53, 54}} {
		for _, mph := range gone {
			if _, err := s.RemoveRep(t.Context(), by[mph].ID, 0); err != nil {
				t.Fatal(err)
			}
		}
		for _, mph := range slices.Backward(gone) { // as undo does
			if _, _, err := s.RestoreRep(t.Context(), by[mph].ID); err != nil {
				t.Fatal(err)
			}
		}
		same(t, order(t, s, b), "51 52 53 54", nil)
	}
}

// TestBullpensOfOneDay stay in the order they were begun, wherever they are listed.
func TestBullpensOfOneDay(t *testing.T) {
	s := fresh(t)
	first := pen(t, s, "Kit", "2026-04-11")
	began := []bullpen.Bullpen{first}
	for range 7 {
		b, err := s.AddBullpen(t.Context(), bullpen.Bullpen{PitcherID: first.PitcherID, Day: "2026-04-11"}, true)
		if err != nil {
			t.Fatal(err)
		}
		began = append(began, b)
	}
	var want []string
	for i := range began { // entered the other way round
		add(t, s, unmarked(began[len(began)-1-i], bullpen.Fastball, 50))
		want = append(want, began[i].ID)
	}
	reps, err := s.PitcherReps(t.Context(), first.PitcherID)
	same(t, bullpensOf(reps), want, err)
	throws, err := s.PitcherThrows(t.Context(), first.PitcherID)
	same(t, bullpensOf(throws), want, err)
	slices.Reverse(want) // lists have the latest first
	for _, whose := range []string{"", first.PitcherID} {
		var cards, rows []string
		for page := (Page{Limit: 3}); ; {
			list, next, err := s.Bullpens(t.Context(), whose, page)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range list {
				cards = append(cards, c.ID)
			}
			if page.Cursor = next; next == "" {
				break
			}
		}
		for page := (Page{Limit: 3}); ; {
			list, next, err := s.FindReps(t.Context(), RepFilter{PitcherID: whose}, page)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range list {
				rows = append(rows, r.BullpenID)
			}
			if page.Cursor = next; next == "" {
				break
			}
		}
		same(t, cards, want, nil)
		same(t, rows, want, nil)
	}
}

func bullpensOf(reps []bullpen.Rep) (ids []string) {
	for _, r := range reps {
		ids = append(ids, r.BullpenID)
	}
	return ids
}
