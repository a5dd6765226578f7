package server

import "testing"

func TestDistanceDoubtSaysBothDistances(t *testing.T) {
	const want = "All film speeds fit a pitching distance of about 35 ft: is 60.5 ft right?"
	if got := distanceDoubtOf("f", 35, 60.5); got.Sentence != want || got.Feet != 35 || got.FilmID != "f" {
		t.Errorf("%+v", got)
	}
}

func TestSoundNoteSaysWhichWay(t *testing.T) {
	for late, want := range map[float64]string{
		0.118:  "This film’s sound is about 0.12 s late. The film speeds allow for it. If your other films say so too, is 43 ft right?",
		-0.118: "This film’s sound is about 0.12 s early. The film speeds allow for it. If your other films say so too, is 43 ft right?",
	} {
		if got := soundNoteOf("f", late, 43); got.Sentence != want || got.Seconds != late || got.FilmID != "f" {
			t.Errorf("%+v", got)
		}
	}
}
