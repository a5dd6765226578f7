package server

import (
	"testing"

	"tenoff/internal/bullpen"
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
		{0, 0.118, 0.12, "This film’s sound is about 0.12 s late. The film speeds allow for it. If your other films say so too, is 43 ft right?"},
		{0, -0.118, -0.12, "This film’s sound is about 0.12 s early. The film speeds allow for it. If your other films say so too, is 43 ft right?"},
		{0.12, 0.003, 0, "This film’s sound is in step with the picture, though you set about 0.12 s late. The film speeds allow for it."},
		{0.12, -0.2, -0.2, "This film’s sound is about 0.20 s early, though you set about 0.12 s late. The film speeds allow for it."},
	} {
		if got := soundNoteOf(bullpen.Film{ID: "f", SoundLate: c.set}, c.late, 43); got.Sentence != c.want || got.Seconds != c.seconds || got.FilmID != "f" {
			t.Errorf("%+v", got)
		}
	}
}
