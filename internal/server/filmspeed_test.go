package server

import (
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func TestDistanceDoubtSaysBothDistances(t *testing.T) {
	const want = "All film speeds fit a pitching distance of about 35 ft: is 60.5 ft right?"
	if got := distanceDoubtOf("f", 35, 60.5); got.Sentence != want || got.Feet != 35 || got.FilmID != "f" {
		t.Errorf("%+v", got)
	}
}

func TestSoundNoteSaysWhichWay(t *testing.T) {
	for _, c := range []struct {
		set, late, seconds float64
		want               string
	}{
		{0, 0.118, 0.12, "This film’s sound is about 0.12 s late, or the pitching distance is wrong: is 43 ft right? If it is, accept the sound; the film speeds allow for it."},
		{0, -0.118, -0.12, "This film’s sound is about 0.12 s early, or the pitching distance is wrong: is 43 ft right? If it is, accept the sound; the film speeds allow for it."},
		{0.12, 0.003, 0, "This film’s sound is in step with the picture, though you set about 0.12 s late. The film speeds allow for it."},
		{0.12, -0.2, -0.2, "This film’s sound is about 0.20 s early, though you set about 0.12 s late. The film speeds allow for it."},
	} {
		if got := soundNoteOf(bullpen.Film{ID: "f", SoundLate: c.set}, c.late, 43); got.Sentence != c.want || got.Seconds != c.seconds || got.FilmID != "f" {
			t.Errorf("%+v", got)
		}
	}
}

// A late sound is accepted for all films only where two are equally late, and of none
// anything was said.
func TestALateSoundIsAcceptedForAllWhereTwoAgree(t *testing.T) {
	films := make([]store.Film, 4)
	for _, c := range []struct {
		late []float64
		set  float64 // on one of them
		want []bool
	}{
		{late: []float64{0.12}, want: []bool{false}},
		{late: []float64{0.12, 0.1}, want: []bool{true, true}},
		{late: []float64{0.12, -0.12}, want: []bool{false, false}},
		{late: []float64{0.12, 0.3, 0.13}, want: []bool{true, false, true}},
		{late: []float64{0.12, 0.12}, set: 0.1, want: []bool{false, false}},
	} {
		var notes []wire.SoundNote
		for i, late := range c.late {
			notes = append(notes, wire.SoundNote{FilmID: string(rune('a' + i)), Seconds: late})
		}
		films[3].SoundLate = c.set
		acceptAll(notes, films)
		for i, n := range notes {
			if n.All != c.want[i] {
				t.Errorf("%v, set %g: film %s for all: %v", c.late, c.set, n.FilmID, n.All)
			}
		}
	}
}
