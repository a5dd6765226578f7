package store

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// assigned is a homework of six reps for a new pitcher.
func assigned(t *testing.T, s *Store) bullpen.Homework {
	t.Helper()
	b := pen(t, s, "Kit", "2026-04-11")
	h, err := s.AddHomework(t.Context(), bullpen.Homework{Workout: bullpen.Workout{Title: "Weekly", Sets: []bullpen.Set{
		{Times: 2, Lines: []bullpen.Line{{Drill: "Wrist snap", Pitch: bullpen.Fastball, Reps: 2}, {Pitch: bullpen.ChangeUp, Reps: 1}}},
	}}}, bullpen.Bullpen{PitcherID: b.PitcherID, Day: "2026-04-12", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func blank(bullpenID string) bullpen.Rep {
	return bullpen.Rep{BullpenID: bullpenID, Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1}
}

// What was filled in follows a shift and a rep that is taken out; what was set by
// hand stays, and warm-ups have no place.
func TestRepsFollowTheirPlaces(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	var reps []bullpen.Rep
	add := func(r bullpen.Rep) bullpen.Rep {
		t.Helper()
		r, _, err := s.AddRep(ctx, r)
		if err != nil {
			t.Fatal(err)
		}
		reps = append(reps, r)
		return r
	}
	warm := blank(h.BullpenID)
	warm.WarmUp = true
	add(warm)
	first := add(blank(h.BullpenID))
	said := blank(h.BullpenID)
	said.Pitch, said.Drill = bullpen.Drop, "Walk-through" // typed with the rep: not the place's
	add(said)
	third := add(blank(h.BullpenID))
	fourth := add(blank(h.BullpenID))
	type line struct {
		set, number int
		drill       string
		pitch       bullpen.Pitch
	}
	want := func(what string, lines ...line) {
		t.Helper()
		now, err := s.Reps(ctx, h.BullpenID)
		if err != nil || len(now) != len(lines) {
			t.Fatalf("%s: %d reps, %v", what, len(now), err)
		}
		for i, r := range now {
			if got := (line{r.Set, r.Number, r.Drill, r.Pitch}); got != lines[i] {
				t.Errorf("%s: rep %d is %+v, want %+v", what, i+1, got, lines[i])
			}
		}
	}
	none := line{0, 0, "", bullpen.Fastball}
	hand := func(set, number int) line { return line{set, number, "Walk-through", bullpen.Drop} }
	snap := func(set, number int) line { return line{set, number, "Wrist snap", bullpen.Fastball} }
	change := func(set int) line { return line{set, 3, "", bullpen.ChangeUp} }
	want("as thrown", none, snap(1, 1), hand(1, 2), change(1), snap(2, 1))
	if _, _, err := s.Shift(ctx, third.ID, 1); err != nil {
		t.Fatal(err)
	}
	want("one left out before the third", none, snap(1, 1), hand(1, 2), snap(2, 1), snap(2, 2))
	if _, _, err := s.Shift(ctx, third.ID, -2); err != nil {
		t.Fatal(err)
	}
	want("the third repeats the second", none, snap(1, 1), hand(1, 2), snap(1, 2), change(1))
	if _, err := s.RemoveRep(ctx, first.ID, 0); err != nil {
		t.Fatal(err)
	}
	want("without the first", none, hand(1, 1), snap(1, 1), snap(1, 2))
	if _, _, err := s.RestoreRep(ctx, first.ID); err != nil {
		t.Fatal(err)
	}
	want("with it again", none, snap(1, 1), hand(1, 2), snap(1, 2), change(1))
	fourth, err := s.Rep(ctx, fourth.ID)
	if err != nil {
		t.Fatal(err)
	}
	fourth.Pitch = bullpen.Rise
	if _, _, err := s.SaveRep(ctx, fourth); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.Shift(ctx, third.ID, 1); err != nil {
		t.Fatal(err)
	}
	want("a pitch that was corrected stays", none, snap(1, 1), hand(1, 2), change(1), line{2, 1, "Wrist snap", bullpen.Rise})
	_, _, err = s.Shift(ctx, reps[0].ID, 1)
	wantCode(t, err, bullpen.NotFound) // a warm-up has no place
}

// A slip needs a consent that stands, opens with its token only, and not for ever.
func TestSlips(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	slip := bullpen.Slip{HomeworkID: h.ID, MaxBytes: 1, MaxFiles: 1}
	_, _, err := s.AddSlip(ctx, slip, time.Hour)
	wantCode(t, err, bullpen.Invalid)
	c, err := s.AddConsent(ctx, bullpen.Consent{PitcherID: h.PitcherID, Guardian: "her mother", Given: "2026-04-01", Covers: "homework", For: bullpen.Purposes})
	if err != nil {
		t.Fatal(err)
	}
	// It keeps the words that it was given to; of one from before they were kept none are made up.
	if kept, err := s.Consents(ctx, h.PitcherID); err != nil || len(kept) != 1 || !slices.Equal(kept[0].Asked, []string{bullpen.ForHomework.Asks(), bullpen.ForResults.Asks(), bullpen.ForExamples.Asks()}) {
		t.Errorf("%+v, %v", kept, err)
	}
	if _, err := s.write.Exec(`UPDATE consents SET wording = ''`); err != nil {
		t.Fatal(err)
	}
	if kept, err := s.Consents(ctx, h.PitcherID); err != nil || kept[0].Asked != nil || !slices.Equal(kept[0].For, bullpen.Purposes) {
		t.Errorf("%+v, %v", kept, err)
	}
	first, token, err := s.AddSlip(ctx, slip, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if got, academy, err := s.OpenSlip(ctx, token); err != nil || got.ID != first.ID || academy != s.first {
		t.Errorf("%+v of %s, %v", got, academy, err)
	}
	second, newer, err := s.AddSlip(ctx, slip, time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	closed := func(what, token string) {
		t.Helper()
		_, _, err := s.OpenSlip(ctx, token)
		if !errors.Is(err, error(errNoLink)) {
			t.Errorf("%s: %v", what, err)
		}
	}
	closed("replaced", token)
	closed("made up", "x")
	closed("empty", "")
	tellTime(s, func() time.Time { return time.Now().Add(2 * time.Hour) })
	closed("expired", newer)
	if _, err := s.RenewSlip(ctx, second.ID, time.Hour); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.OpenSlip(ctx, newer); err != nil {
		t.Errorf("renewed: %v", err)
	}
	long, err := s.RenewSlip(ctx, second.ID, 90*24*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	if short, err := s.RenewSlip(ctx, second.ID, time.Hour); err != nil || short.Expires != long.Expires {
		t.Errorf("renewing shortened it: %d after %d, %v", short.Expires, long.Expires, err)
	}
	_, err = s.RenewSlip(ctx, first.ID, time.Hour)
	wantCode(t, err, bullpen.Conflict)
	if _, n, err := s.WithdrawConsent(ctx, c.ID); err != nil || n != 1 {
		t.Errorf("%d closed, %v", n, err)
	}
	closed("without consent", newer)
	// Nothing in the database is the token.
	stored, err := all(ctx, s.read, func(row scanner) (b []byte, err error) { return b, row.Scan(&b) }, `SELECT token FROM slips`)
	if err != nil || len(stored) == 0 {
		t.Fatal(stored, err)
	}
	for _, b := range stored {
		if len(b) != 32 || strings.Contains(strings.ToLower(string(b)), newer) {
			t.Errorf("a token is stored: %q", b)
		}
	}
}

// A student who does not say where the gun stood leaves readings of no place: they are
// not the bullpen's, and may be changed like any other.
func TestAPlaceNobodySaidIsNone(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	r, _, err := s.AddRep(ctx, blank(h.BullpenID))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ said, want bullpen.GunPlace }{{"", bullpen.PlaceNotSaid}, {bullpen.BehindPitcher, bullpen.BehindPitcher}} {
		words := bullpen.Student{Gun: c.said, Readings: map[int]bullpen.TypedReading{0: {Value: 50, Unit: bullpen.MPH}}}
		if c.said != "" {
			words.Readings[0] = bullpen.TypedReading{Value: 51, Unit: bullpen.MPH}
		}
		if err := s.SaveStudent(ctx, h.ID, words); err != nil {
			t.Fatal(err)
		}
		if r, err = s.Rep(ctx, r.ID); err != nil || r.Reading == nil || r.Reading.Gun != c.want {
			t.Errorf("said %q: %+v, %v", c.said, r.Reading, err)
		}
	}
}

// Originals stay as long as words about pain that came later may have to be looked at with
// them, also when she rubbed those out.
func TestPainKeepsOriginals(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	h := assigned(t, s)
	b, _, err := s.Bullpen(ctx, h.BullpenID)
	if err != nil {
		t.Fatal(err)
	}
	ready(t, s, b, "IMG_1.mov", 90, 0)
	for _, c := range []struct {
		pain int
		goes bool
	}{{20, false}, {9, true}} {
		if _, err := s.write.Exec(`UPDATE homeworks SET sent = '{"sentAt":5}', student = '{"PainAt":`+fmt.Sprint(c.pain)+`}' WHERE id = ?`, h.ID); err != nil {
			t.Fatal(err)
		}
		if loose, err := s.TrimHomework(ctx, 10); err != nil || (len(loose) > 0) != c.goes {
			t.Errorf("pain at %d: %v go, %v", c.pain, loose, err)
		}
	}
}
