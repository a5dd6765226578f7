package main

import (
	"io"
	"log/slog"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/store"
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

// Where pitchers are that no demo made, none are invented beside them, whoever's they are;
// a demo's own place goes on.
func TestNoDemoBesideRealPitchers(t *testing.T) {
	dir := t.TempDir()
	p, err := NewProgram(t.Context(), dir, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	if err := p.onlyDemo(t.Context()); err != nil {
		t.Errorf("nobody is there yet: %v", err)
	}
	sam, err := p.store.AddAccount(t.Context(), "Sam", "x")
	if err != nil {
		t.Fatal(err)
	}
	level, _ := bullpen.LevelOf("14U")
	if _, err := p.store.AddPitcher(store.Within(t.Context(), sam.Academy), bullpen.NewPitcher("Kit", level)); err != nil {
		t.Fatal(err)
	}
	if err := p.onlyDemo(t.Context()); bullpen.CodeOf(err) != bullpen.Conflict {
		t.Errorf("beside Sam's: %v", err)
	}
	seasons := demo.Seasons(time.Now())[:1]
	if err := p.makeSeason(t.Context(), streams{nil, io.Discard, io.Discard}, seasons); err != nil {
		t.Fatal(err)
	}
	if err := p.onlyDemo(t.Context()); err != nil {
		t.Errorf("a demo is there already: %v", err)
	}
}
