package server

import "testing"

func TestDistanceDoubtSaysBothDistances(t *testing.T) {
	const want = "All film speeds fit a pitching distance of about 35 ft: is 60.5 ft right?"
	if got := distanceDoubtOf("f", 35, 60.5); got.Sentence != want || got.Feet != 35 || got.FilmID != "f" {
		t.Errorf("%+v", got)
	}
}
