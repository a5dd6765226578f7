package main

import (
	"io"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
)

// The demo leaves a real pitcher of the same name alone, and knows its own again.
func TestSeasonIsTheDemosOwn(t *testing.T) {
	p, _ := start(t, t.TempDir())
	seasons := demo.Seasons(time.Now())[:1]
	level, _ := bullpen.LevelOf("14U")
	real, _, err := p.store.AddBullpenFor(t.Context(), bullpen.NewPitcher(seasons[0].Pitcher.Label, level), bullpen.Bullpen{Day: "2026-04-11", Note: "after school"}, true)
	if err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if err := p.makeSeason(t.Context(), streams{nil, io.Discard, io.Discard}, seasons); err != nil {
			t.Fatal(err)
		}
		pitchers, err := p.store.Pitchers(t.Context())
		if err != nil || len(pitchers) != 2 {
			t.Fatalf("%d pitchers, %v", len(pitchers), err)
		}
		for _, her := range pitchers {
			want := len(seasons[0].Bullpens)
			if her.ID == real.ID {
				want = 1
			}
			if her.Bullpens != want {
				t.Errorf("%d bullpens, want %d", her.Bullpens, want)
			}
		}
	}
}
