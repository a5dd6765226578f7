package main

import (
	"testing"

	"tenoff/internal/bullpen"
)

// A pitcher whose film could not be read stays if something was typed for her at the fence.
func TestTakeBackKeepsWhatWasTyped(t *testing.T) {
	p, _ := start(t, t.TempDir())
	pen, debut, err := p.newBullpen(t.Context(), "Kit", "")
	if err != nil || !debut {
		t.Fatal(debut, err)
	}
	e := bullpen.FieldEntry{ID: "one", PitcherID: pen.PitcherID, Day: pen.Day, At: 1, Revision: 1, Pitch: bullpen.ChangeUp}
	if _, err := p.store.KeepEntries(t.Context(), []bullpen.FieldEntry{e}); err != nil {
		t.Fatal(err)
	}
	if err := p.takeBack(t.Context(), pen, debut); err != nil {
		t.Fatal(err)
	}
	if lessons, err := p.store.Lessons(t.Context()); err != nil || len(lessons) != 1 || lessons[0].Entries != 1 {
		t.Errorf("%+v, %v", lessons, err)
	}
}
