package store

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

// Whatever is changed in a bullpen, the revision of every other one rises that looks back on
// it: what Usual and Earlier answer for it is another then, or stands for other readings.
// Changes, days and guns are by chance; the check reads every bullpen before and after each.
func TestWhoeverLooksBackIsRaised(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	random := rand.New(rand.NewPCG(24, 1))
	p, err := s.AddPitcher(ctx, bullpen.NewPitcher("Kit", bullpen.Levels[0]))
	if err != nil {
		t.Fatal(err)
	}
	guns := []bullpen.GunPlace{bullpen.BehindCatcher, bullpen.BehindCatcher, bullpen.BehindCatcher, bullpen.PlaceNotSaid}
	day := func() string {
		return time.Date(2026, 1, 1+random.IntN(40), 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
	}
	var ids []string
	begin := func() {
		t.Helper()
		b, err := s.AddBullpen(ctx, bullpen.Bullpen{PitcherID: p.ID, Day: day(), Gun: guns[random.IntN(len(guns))], Unit: bullpen.MPH}, true)
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, b.ID)
	}
	log := func(id string) {
		t.Helper()
		r := unmarked(bullpen.Bullpen{ID: id}, bullpen.PitchTypes[random.IntN(3)].Code, float64(45+random.IntN(12)))
		r.Reading.Unit = ""
		switch random.IntN(8) {
		case 0:
			r.Reading = nil
		case 1:
			r.WarmUp = true
		case 2:
			r.Drill = "wall"
		}
		if _, _, err := s.AddRep(ctx, r); err != nil {
			t.Fatal(err)
		}
	}
	for range 45 {
		begin()
		if random.IntN(4) > 0 {
			log(ids[len(ids)-1])
		}
	}
	type seen struct {
		revision int64
		back     any
	}
	looks := func() map[string]seen {
		t.Helper()
		out := map[string]seen{}
		for _, id := range ids {
			b, revision, err := s.Bullpen(ctx, id)
			if err != nil {
				t.Fatal(err)
			}
			usual, err := s.Usual(ctx, b)
			if err != nil {
				t.Fatal(err)
			}
			earlier, err := s.Earlier(ctx, b)
			if err != nil {
				t.Fatal(err)
			}
			back := fmt.Sprint(usual)
			for _, e := range earlier {
				reps, err := s.Reps(ctx, e.ID)
				if err != nil {
					t.Fatal(err)
				}
				back += fmt.Sprint(" ", e.ID, bullpen.SpreadsIn(e.Bullpen, reps))
			}
			out[id] = seen{revision, back}
		}
		return out
	}
	changed := 0
	before := looks()
	for range 60 {
		id := ids[random.IntN(len(ids))]
		b, _, err := s.Bullpen(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		reps, err := s.Reps(ctx, id)
		if err != nil {
			t.Fatal(err)
		}
		what := "log"
		switch k := random.IntN(7); {
		case k == 0:
			what = "day"
			b.Day = day()
			_, _, err = s.SaveBullpen(ctx, b)
		case k == 1:
			what = "gun and unit"
			b.Gun, b.Unit = guns[random.IntN(len(guns))], []bullpen.Unit{bullpen.MPH, bullpen.KMH}[random.IntN(2)]
			_, _, err = s.SaveBullpen(ctx, b)
		case k == 2 && len(reps) > 0:
			what = "take out"
			_, err = s.RemoveRep(ctx, reps[0].ID, 0)
		case k == 3 && len(reps) > 0:
			what = "edit"
			reps[0].Reading, reps[0].Drill = &bullpen.Reading{Value: float64(40 + random.IntN(20)), Unit: bullpen.MPH, Step: 1, Gun: b.Gun}, ""
			_, _, err = s.SaveRep(ctx, reps[0])
		case k == 4 && len(ids) > 30:
			what = "remove"
			_, err = s.RemoveBullpen(ctx, id, 0, Whatever)
			for i := range ids {
				if ids[i] == id {
					ids = append(ids[:i], ids[i+1:]...)
					break
				}
			}
		default:
			log(id)
		}
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		after := looks()
		for other, now := range after {
			was := before[other]
			if reflect.DeepEqual(was.back, now.back) || other == id {
				continue
			}
			changed++
			if now.revision <= was.revision {
				t.Errorf("%s in %s: bullpen %s looks back on other readings and is still at revision %d", what, id, other, now.revision)
			}
		}
		before = after
	}
	if changed < 50 {
		t.Errorf("only %d bullpens looked back on what was changed: this shows nothing", changed)
	}
}

// And nobody else's does: of a long season nine follow, and a bullpen without readings tells
// nobody anything.
func TestNoFurtherThanSheLooksBack(t *testing.T) {
	s := fresh(t)
	ctx := t.Context()
	first := pen(t, s, "Kit", "2026-01-01")
	days := []bullpen.Bullpen{first}
	for i := range 29 {
		b, err := s.AddBullpen(ctx, bullpen.Bullpen{PitcherID: first.PitcherID, Day: fmt.Sprintf("2026-01-%02d", i+2), Gun: first.Gun, Unit: bullpen.MPH}, true)
		if err != nil {
			t.Fatal(err)
		}
		days = append(days, b)
	}
	raised := func(change func() error) (n int) {
		t.Helper()
		before := make([]int64, len(days))
		for i, b := range days {
			before[i] = revisionOf(t, s, b.ID)
		}
		if err := change(); err != nil {
			t.Fatal(err)
		}
		for i, b := range days {
			if revisionOf(t, s, b.ID) > before[i] {
				n++
			}
		}
		return n
	}
	read := func(b bullpen.Bullpen) func() error {
		return func() error { return third(s.AddRep(ctx, unmarked(b, bullpen.Fastball, 55))) }
	}
	silent := unmarked(days[4], bullpen.Fastball, 0)
	silent.Reading = nil
	if n := raised(func() error { return third(s.AddRep(ctx, silent)) }); n != 1 {
		t.Errorf("without a reading %d rise, want it alone", n)
	}
	for _, b := range days {
		if err := read(b)(); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ of, want int }{{4, 1 + usualOf}, {27, 3}, {29, 1}} {
		if n := raised(read(days[c.of])); n != c.want {
			t.Errorf("after a rep in bullpen %d of 30 %d rise, want %d", c.of+1, n, c.want)
		}
	}
}
