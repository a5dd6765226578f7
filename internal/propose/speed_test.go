package propose

import (
	"math"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
	"tenoff/internal/trace"
)

// listening is a house whose film was thrown, and a pitcher's level.
func listening(t *testing.T) (h house, films []store.Film, reps []bullpen.Rep, level bullpen.Level) {
	t.Helper()
	h = newHouse(t)
	reps = h.throw(t)
	films, err := h.store.Films(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	level, _ = bullpen.LevelOf("14U")
	return h, films, reps, level
}

// A distance that is not the one thrown from is doubted, and the one thrown from is
// named; a right one is not.
func TestListenDoubtsTheDistance(t *testing.T) {
	h, films, reps, level := listening(t)
	her := bullpen.NewPitcher("Wren", level)
	her.ExtensionFeet = &h.truth.ExtensionFeet
	for set, want := range map[float64]float64{h.truth.DistanceFeet: 0, 35: h.truth.DistanceFeet, 54: h.truth.DistanceFeet} {
		her.DistanceFeet = set
		said := h.proposer.FilmSpeeds(t.Context(), her, films, reps)
		if got := said.Distance[h.film.ID]; got != want {
			t.Errorf("%g ft set: the film fits %g ft, want %g", set, got, want)
		}
		if len(said.Slowed) != 0 {
			t.Errorf("%g ft set: taken for slow motion: %v", set, said.Slowed)
		}
	}
}

func TestUsualDistance(t *testing.T) {
	for feet, want := range map[float64]float64{34.1: 35, 42.2: 43, 44.4: 43, 47: 46, 57.2: 57, 25.4: 25} {
		if got := usualDistance(feet); got != want {
			t.Errorf("%g ft is said to be %g, want %g", feet, got, want)
		}
	}
}

// Where only her level says how far in front of the rubber she lets go, her film speeds
// are known less well; with readings it makes hardly any difference.
func TestListenSaysHowTheWayIsKnown(t *testing.T) {
	h, films, reps, level := listening(t)
	hers, levels := bullpen.NewPitcher("Wren", level), bullpen.NewPitcher("Robin", level)
	hers.ExtensionFeet = &level.ExtensionFeet
	for _, readings := range []bool{true, false} {
		for i := range reps {
			if !readings {
				reps[i].Reading = nil
			}
		}
		known := h.proposer.FilmSpeeds(t.Context(), hers, films, reps).Speeds
		guessed := h.proposer.FilmSpeeds(t.Context(), levels, films, reps).Speeds
		if len(known) != len(reps) || len(guessed) != len(reps) {
			t.Fatalf("%d reps, %d and %d film speeds", len(reps), len(known), len(guessed))
		}
		for id, k := range known {
			switch g := guessed[id]; {
			case readings && (g.U < k.U || g.U > 1.03*k.U): // what a delay can't hold of it
				t.Errorf("with readings: +- %.2f and %.2f mph", k.U, g.U)
			case !readings && g.U < 1.3*k.U:
				t.Errorf("without readings: +- %.2f and %.2f mph", k.U, g.U)
			}
		}
	}
}

// Once releases are marked and the others were looked for, film speeds rest on where the
// motion puts each release between the frames: at 30 frames a second that is worth
// most of what is unsure of them. A mark set elsewhere by hand counts as it is.
func TestListenBetweenFrames(t *testing.T) {
	h, films, reps, level := listening(t)
	her := bullpen.NewPitcher("Wren", level)
	off := func(speeds map[string]trace.FilmSpeed) (sd, u float64) {
		for i, r := range h.truth.Reps {
			f := speeds[reps[i].ID]
			sd += sq(float64(f.Speed-r.Speed)) / float64(len(reps))
			u += float64(f.U) / float64(len(reps))
		}
		return math.Sqrt(sd), u
	}
	framed := h.proposer.FilmSpeeds(t.Context(), her, films, reps).Speeds
	if err := h.proposer.FindReps(t.Context(), store.Job{NewJob: store.NewJob{Subject: h.film.ID}}, func(float64) {}); err != nil {
		t.Fatal(err)
	}
	between := h.proposer.FilmSpeeds(t.Context(), her, films, reps).Speeds
	framedSD, framedU := off(framed)
	sd, u := off(between)
	t.Logf("by frames %.2f mph off, said to be +- %.2f; between them %.2f, +- %.2f", framedSD, framedU, sd, u)
	if sd > framedSD || u > 0.75*framedU || sd > 1.2 {
		t.Errorf("by frames %.2f mph off, said to be +- %.2f; between them %.2f, +- %.2f", framedSD, framedU, sd, u)
	}
	// Two frames later by hand: that is no matter of between frames.
	reps[3].Release += 2
	moved := h.proposer.FilmSpeeds(t.Context(), her, films, reps).Speeds[reps[3].ID]
	if d := moved.Flight - between[reps[3].ID].Flight; d > -0.03 {
		t.Errorf("a release marked two frames later makes the flight %.0f ms longer", 1000*d)
	}
}

func sq(v float64) float64 { return v * v }

// A sound that plays late is said to be, until somebody accepts it; what they accept stays
// with the film.
func TestListenTakesALateSoundAsAccepted(t *testing.T) {
	h, films, reps, level := listening(t)
	her := bullpen.NewPitcher("Wren", level)
	her.ExtensionFeet = &h.truth.ExtensionFeet
	sound := new(trace.Sound)
	if err := h.proposer.blobs.Load(t.Context(), h.film.Made.Sound, sound); err != nil {
		t.Fatal(err)
	}
	for i := range sound.Onsets {
		sound.Onsets[i].Time += 0.15
	}
	data, err := sound.MarshalBinary()
	if err != nil {
		t.Fatal(err)
	}
	if err := h.blobs.Delete(t.Context(), h.film.Made.Sound); err != nil {
		t.Fatal(err)
	}
	h.put(t, h.film.Made.Sound, data)

	late := h.proposer.FilmSpeeds(t.Context(), her, films, reps).OutOfStep[h.film.ID]
	if math.Abs(late-0.15) > 0.03 {
		t.Errorf("a sound 0.15 s late is said to be %.3f", late)
	}
	f := films[0]
	f.SoundLate = late
	if _, err := h.store.SaveFilm(t.Context(), f.Film); err != nil {
		t.Fatal(err)
	}
	if films, err = h.store.Films(t.Context(), h.pen.ID); err != nil {
		t.Fatal(err)
	}
	if late, ok := h.proposer.FilmSpeeds(t.Context(), her, films, reps).OutOfStep[h.film.ID]; ok {
		t.Errorf("accepted, and still said to be %.3f s late", late)
	}
}

// Where a program repeats frames and leaves others out, a mark stands at when its frame is
// shown and the motion's release at when that picture was taken, up to five sixths of a frame
// apart: a release by motion that lies as near to the mark's picture as frame and eye allow
// counts wherever in the cadence the mark is, and a mark without one is taken in its seconds.
func TestListenTakesMarksAsTaken(t *testing.T) {
	const every, frame, near, spread = 6, 1.0 / 30, 0.010, 0.007
	for _, slow := range []float64{1, 8} {
		ticks := make([]int64, 60)
		for i := range ticks {
			ticks[i] = int64(i)
		}
		c := bullpen.Clock{Ticks: ticks, Num: int64(slow), Den: 30, Slow: slow}
		for skips := range every - 1 {
			k := bullpen.Cadence{Step: frame, Every: every, Repeats: every - 1, Skips: skips}
			for at := range every {
				at += 30
				taken := k.Taken(float64(at)*frame) * slow
				mark := throwOf(c, k, bullpen.Rep{Release: at})
				if math.Abs(mark.Release-taken) > 1e-9 {
					t.Errorf("%+v, slowed %g: frame %d was taken at %g s, its mark is at %g", k, slow, at, taken, mark.Release)
				}
				for _, off := range []float64{-near, near} {
					found := mark
					refine(&found, store.FoundRelease{Seconds: taken + off*slow, Spread: spread})
					if found.Release != taken+off*slow || found.ReleaseSD != spread {
						t.Errorf("%+v, slowed %g: found %.0f ms from when frame %d was taken, it does not count", k, slow, 1000*off, at)
					}
				}
			}
		}
	}
}

// So it is on a film of which every sixth frame is repeated: each of its releases counts
// between the frames.
func TestListenBetweenFramesThatRepeat(t *testing.T) {
	o := plain
	o.Doubled, o.Rest = 6, 4.57 // reps fall on all phases of that
	film, err := generate(o)
	if err != nil {
		t.Fatal(err)
	}
	h := emptyHouse(t).showing(t, t.Context(), film)
	reps := h.throw(t)
	films, err := h.store.Films(t.Context(), h.pen.ID)
	if err != nil {
		t.Fatal(err)
	}
	level, _ := bullpen.LevelOf("14U")
	her := bullpen.NewPitcher("Wren", level)
	framed := h.proposer.FilmSpeeds(t.Context(), her, films, reps).Speeds
	if err := h.proposer.FindReps(t.Context(), store.Job{NewJob: store.NewJob{Subject: h.film.ID}}, func(float64) {}); err != nil {
		t.Fatal(err)
	}
	between := h.proposer.FilmSpeeds(t.Context(), her, films, reps).Speeds
	for i, r := range reps {
		was, is := framed[r.ID], between[r.ID]
		t.Logf("release %d at frame %d: %.1f mph +- %.2f by frames, %.1f +- %.2f between them, %.1f thrown", i+1, r.Release, was.Speed, was.U, is.Speed, is.U, h.truth.Reps[i].Speed)
		if is.U > 0.75*was.U || math.Abs(float64(is.Speed-h.truth.Reps[i].Speed)) > 2*float64(is.U) {
			t.Errorf("release %d at frame %d: %.1f mph +- %.2f by frames, %.1f +- %.2f between them, %.1f thrown", i+1, r.Release, was.Speed, was.U, is.Speed, is.U, h.truth.Reps[i].Speed)
		}
	}
}
