package store

import (
	"slices"
	"strings"
	"testing"
	"time"

	"tenoff/internal/bullpen"
)

func names(t testing.TB, s *Store, b bullpen.Bullpen) string {
	t.Helper()
	films, err := s.Films(t.Context(), b.ID)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for i, f := range films {
		if f.Position != i {
			t.Errorf("film %d has position %d", i, f.Position)
		}
		out = append(out, f.Name)
	}
	return strings.Join(out, " ")
}

func TestFilmsAsFilmed(t *testing.T) {
	s := fresh(t)
	noon := time.Date(2026, 4, 11, 12, 0, 0, 0, time.UTC)
	at := func(minutes int) int64 { return noon.Add(time.Duration(minutes) * time.Minute).UnixMicro() }

	timed := pen(t, s, "Kit", "2026-04-11")
	ready(t, s, timed, "c.mov", 10, at(2))
	ready(t, s, timed, "a.mov", 10, at(9))
	ready(t, s, timed, "b.mov", 10, at(1))
	if got := names(t, s, timed); got != "b.mov c.mov a.mov" {
		t.Errorf("by time: %s", got)
	}
	untimed := pen(t, s, "Mo", "2026-04-11")
	ready(t, s, untimed, "IMG_10.mov", 10, at(1))
	ready(t, s, untimed, "IMG_9.mov", 10, 0)
	ready(t, s, untimed, "img_1.mov", 10, at(2))
	if got := names(t, s, untimed); got != "img_1.mov IMG_9.mov IMG_10.mov" {
		t.Errorf("one without a time, so by name: %s", got)
	}
	films, err := s.Films(t.Context(), untimed.ID)
	if err != nil {
		t.Fatal(err)
	}
	last := films[2].Film
	last.Position = 0
	moved, err := s.SaveFilm(t.Context(), last)
	if err != nil || moved.Position != 0 || moved.Version != last.Version+1 {
		t.Errorf("moved: %+v, %v", moved.Film, err)
	}
	ready(t, s, untimed, "IMG_2.mov", 10, 0)
	if got := names(t, s, untimed); got != "IMG_10.mov img_1.mov IMG_9.mov IMG_2.mov" {
		t.Errorf("somebody chose the order: %s", got)
	}
	_, err = s.SaveFilm(t.Context(), last)
	wantCode(t, err, bullpen.Conflict)
}

func TestCompareNames(t *testing.T) {
	want := []string{"", "7", "007x", "8", "IMG", "img_2.mov", "IMG_10.mov", "IMG_0011.mov", "img_99999999999999999999998", "IMG_99999999999999999999999", "é"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortStableFunc(got, compareNames)
	same(t, got, want, nil)
}

func TestDayOfTheFirstFilm(t *testing.T) {
	s := fresh(t)
	level, _ := bullpen.LevelOf("14U")
	_, b, err := s.AddBullpenFor(t.Context(), bullpen.NewPitcher("Kit", level), bullpen.Bullpen{Day: "2026-04-30"}, false)
	if err != nil {
		t.Fatal(err)
	}
	r := add(t, s, unmarked(b, bullpen.Fastball, 50))
	filmed := time.Date(2026, 4, 11, 12, 0, 0, 0, time.Local)
	ready(t, s, b, "a.mov", 10, filmed.UnixMicro())
	ready(t, s, b, "b.mov", 10, filmed.AddDate(0, 0, 1).UnixMicro())
	b, _, err = s.Bullpen(t.Context(), b.ID)
	if err != nil || b.Day != "2026-04-11" || b.Version != 2 {
		t.Errorf("%+v, %v", b, err)
	}
	rows, _, err := s.FindReps(t.Context(), RepFilter{To: "2026-04-11"}, Page{})
	if err != nil || len(rows) != 1 || rows[0].ID != r.ID {
		t.Errorf("the rep did not move to that day: %+v, %v", rows, err)
	}
	said := pen(t, s, "Mo", "2026-05-01")
	ready(t, s, said, "a.mov", 10, filmed.UnixMicro())
	if said, _, err = s.Bullpen(t.Context(), said.ID); err != nil || said.Day != "2026-05-01" {
		t.Errorf("a chosen day was changed: %+v, %v", said, err)
	}
}

func TestSameFilmTwice(t *testing.T) {
	s := fresh(t)
	b, other := pen(t, s, "Kit", "2026-04-11"), pen(t, s, "Mo", "2026-04-11")
	first := reading(t, s, b, "a.mov", "sum")
	id := NewFilmID()
	again, there, err := s.AddFilm(t.Context(), Film{
		Film: bullpen.Film{ID: id, BullpenID: b.ID, Name: "copy.mov", SHA256: "sum", State: bullpen.FilmReading}, Made: FilmFiles{Original: "films/" + id + "/original"},
	}, NewJob{Kind: "read film"})
	if err != nil || !there || again.ID != first.ID {
		t.Errorf("%+v, there %v, %v", again.Film, there, err)
	}
	reading(t, s, other, "a.mov", "sum")
	// One that was refused is tried again.
	loose, err := s.RefuseFilm(t.Context(), first.ID, "“a.mov” is damaged.")
	same(t, loose, []File{{Key: first.Made.Original, Bytes: 1000}}, err)
	unsettled, err := s.UnsettledFilms(t.Context())
	if err != nil || len(unsettled) != 2 || unsettled[0].Refusal != "“a.mov” is damaged." {
		t.Errorf("%+v, %v", unsettled, err)
	}
	reading(t, s, b, "a.mov", "sum")
	if got := names(t, s, b); got != "a.mov" {
		t.Errorf("films: %s", got)
	}
}

func TestReadAgain(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := ready(t, s, b, "a.mov", 10, 0)
	old := f.Made
	slow := f.Film
	slow.Clock.Slow, slow.SlowKnown = 8, true
	if _, err := s.SaveFilm(t.Context(), slow); err != nil {
		t.Fatal(err)
	}
	f.Made.Working, f.Made.Strip, f.Made.Motion = "films/"+f.ID+"/working-again.mp4", "", "" // listed behind the original
	loose, err := s.FilmRead(t.Context(), f, []File{{Key: f.Made.Working, Bytes: 5}})
	same(t, loose, []File{{Key: old.Motion, Bytes: 3}, {Key: old.Strip, Bytes: 20}, {Key: old.Working, Bytes: 300}}, err)
	named, err := s.NamedFiles(t.Context())
	same(t, named, []File{{Key: f.Made.Original, Bytes: 1000, Sum: "a.mov"}, {Key: f.Made.Working, Bytes: 5}}, err)
	if f, err = s.Film(t.Context(), f.ID); err != nil || f.Clock.Slow != 8 || !f.SlowKnown {
		t.Errorf("what the user said of the speed is gone: %+v, %v", f.Clock.Slow, err)
	}
	f.ID = "nothing"
	_, err = s.FilmRead(t.Context(), f, nil)
	wantCode(t, err, bullpen.NotFound)
}

func TestLooseFiles(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	if err := s.Expect(t.Context(), "films/x/original", "films/y/original"); err != nil {
		t.Fatal(err)
	}
	_, _, err := s.AddFilm(t.Context(), Film{
		Film: bullpen.Film{ID: "x", BullpenID: b.ID, SHA256: "s", Bytes: 9, State: bullpen.FilmReading}, Made: FilmFiles{Original: "films/x/original"},
	}, NewJob{Kind: "read film"})
	if err != nil {
		t.Fatal(err)
	}
	loose, err := s.LooseFiles(t.Context())
	same(t, loose, []File{{Key: "films/y/original"}}, err)
	still, err := s.StillLoose(t.Context(), "films/x/original", "films/y/original", "never/heard")
	same(t, still, []string{"films/y/original"}, err)
	if err := s.Forget(t.Context(), "films/x/original", "films/y/original"); err != nil {
		t.Fatal(err)
	}
	known, err := s.AllFiles(t.Context())
	same(t, known, map[string]struct{}{"films/x/original": {}}, err)
}

func FuzzTicks(f *testing.F) {
	f.Add(packTicks([]int64{0, 20, 41, 41, 1 << 40, 3}))
	f.Add([]byte{0xff, 0xff, 0xff})
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, packed []byte) {
		ticks, err := unpackTicks(packed)
		if err != nil {
			return
		}
		again, err := unpackTicks(packTicks(ticks))
		if err != nil || !slices.Equal(again, ticks) {
			t.Errorf("%v became %v, %v", ticks, again, err)
		}
	})
}
