package judged

import (
	"context"
	"fmt"
	"testing"
)

// meddling is a context that does something when the store asks it the nth time whose
// rows it may see, as it does at every reading.
type meddling struct {
	context.Context
	left   *int
	meddle func()
}

func (m meddling) Value(key any) any {
	if fmt.Sprintf("%T", key) == "store.academyKey" {
		if *m.left--; *m.left == 0 {
			m.meddle()
		}
	}
	return m.Context.Value(key)
}

// Verdicts of a bullpen that changes while it is judged are not stored: nobody is told
// that all are.
func TestVerdictsOfABullpenThatMovesOn(t *testing.T) {
	h := newHouse(t)
	if all, err := h.judged.KeepVerdicts(t.Context(), 3); !all || err != nil {
		t.Fatalf("at rest: all %t, %v", all, err)
	}
	for what, ask := range map[string]func(context.Context) (bool, error){
		"keep":   func(ctx context.Context) (bool, error) { return h.judged.KeepVerdicts(ctx, 3) },
		"search": h.judged.Searchable,
	} {
		// Past the three or six readings of what is to be judged, and of its revision.
		for n := 6; n <= 9; n++ {
			h.throw(h.pens[0], 53)
			left := n
			all, err := ask(meddling{t.Context(), &left, func() { h.throw(h.pens[0], 45) }})
			if err != nil || left > 0 {
				t.Fatalf("%s: %v, %d readings too few", what, err, left)
			}
			by, err := h.judged.method(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			stale, err := h.store.Unjudged(t.Context(), by, 3)
			if err != nil {
				t.Fatal(err)
			}
			if all && len(stale) > 0 {
				t.Errorf("%s, changed at reading %d: all verdicts are said to be stored, of %d bullpens they are not", what, n, len(stale))
			}
			if all, err := ask(t.Context()); !all || err != nil {
				t.Errorf("%s, at rest again: all %t, %v", what, all, err)
			}
		}
	}
}
