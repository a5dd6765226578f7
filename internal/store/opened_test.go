package store

import (
	"testing"

	"tenoff/internal/bullpen"
)

// TestMarksStayOnTheirPictures opens a film of ten frames, marks some, and then reads it:
// the first frame and the sixth could not be decoded.
func TestMarksStayOnTheirPictures(t *testing.T) {
	s := fresh(t)
	b := pen(t, s, "Kit", "2026-04-11")
	f := reading(t, s, b, "a.mov", "sum")
	f.Clock = bullpen.Clock{Num: 1, Den: 30, Slow: 1, Ticks: []int64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}}
	f.Made.Opened, f.Made.Cut = true, Cut{Key: f.Made.Original, FirstTick: 100}
	if err := s.FilmOpened(t.Context(), f, NewJob{Kind: "read film", Payload: "{}"}); err != nil {
		t.Fatal(err)
	}
	opened, err := s.Film(t.Context(), f.ID)
	if err != nil || !opened.Steppable() || opened.State != bullpen.FilmReading || opened.Clock.Frames() != 10 {
		t.Fatalf("%+v, %v", opened, err)
	}
	mark := func(drive, plant, top, release int) bullpen.Rep {
		t.Helper()
		r, _, err := s.AddRep(t.Context(), bullpen.Rep{BullpenID: b.ID, FilmID: f.ID, Pitch: bullpen.Fastball, Drive: drive, Plant: plant, Top: top, Release: release})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	reps := []bullpen.Rep{mark(0, 3, bullpen.Unmarked, 5), mark(bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked, 9)}
	for _, frame := range []int{3, 6} {
		if _, err := s.SaveDrawing(t.Context(), bullpen.Drawing{RepID: reps[0].ID, Frame: frame, Shapes: []bullpen.Shape{{Kind: bullpen.LineShape, Points: []bullpen.Point{{0, 0}, {1, 1}}}}}); err != nil {
			t.Fatal(err)
		}
	}
	read := opened
	read.Clock.Ticks = []int64{0, 1, 2, 3, 5, 6, 7, 8} // of 1, 2, 3, 4, 6, 7, 8, 9
	read.Made.Cut.FirstTick = 101
	read.Made.Working = "films/" + f.ID + "/working.mp4"
	if _, err := s.FilmRead(t.Context(), read, []File{{Key: read.Made.Working, Bytes: 5}}); err != nil {
		t.Fatal(err)
	}
	for i, want := range [][4]int{{0, 2, bullpen.Unmarked, 4}, {bullpen.Unmarked, bullpen.Unmarked, bullpen.Unmarked, 7}} {
		r, err := s.Rep(t.Context(), reps[i].ID)
		if got := [4]int{r.Drive, r.Plant, r.Top, r.Release}; err != nil || got != want {
			t.Errorf("rep %d is marked at %v, want %v, %v", i, got, want, err)
		}
	}
	drawn, err := s.Drawings(t.Context(), reps[0].ID)
	if err != nil || len(drawn) != 2 || drawn[0].Frame != 2 || drawn[1].Frame != 4 {
		t.Errorf("%+v, %v", drawn, err)
	}

	// Opened once it was read: nothing.
	wantCode(t, s.FilmOpened(t.Context(), f, NewJob{Kind: "read film", Payload: "{}"}), bullpen.NotFound)
}
