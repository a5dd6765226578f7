package trace

import (
	"slices"
	"testing"

	"tenoff/internal/demo"
)

// Walking back to the rubber is seen as that after each rep; a rep that is not found for
// moving otherwise is never taken for a walk.
func TestWalksBack(t *testing.T) {
	t.Parallel()
	s := newSession(t, "walks", demo.Options{Seed: 921, Rest: 9, Steady: true, Reps: pitches(5), Pace: demo.FPS(30, 1)})
	f := Find(s.motion, s.sound)
	if got := s.compare(f); got.sure != 5 || len(f.Unexplained) != 0 || len(f.Walks) < 4 {
		t.Errorf("%d of 5 reps are sure; %d walks, %d stretches unexplained", got.sure, len(f.Walks), len(f.Unexplained))
	}
	for _, w := range f.Walks {
		for i, r := range s.truth.Reps {
			if w.From < r.Release.Seconds && r.Release.Seconds < w.To {
				t.Errorf("rep %d is a walk", i+1)
			}
		}
	}
	// Without sound nothing tells a walk from a rep of a calmer drill.
	silent := *s.sound
	silent.Onsets = nil
	if f := Find(s.motion, &silent); len(f.Walks) != 0 {
		t.Errorf("without sound %d walks", len(f.Walks))
	}
	// The third rep the other way round, as somebody else's or with the other hand: no
	// longer like the others, and its pop is not heard.
	odd := s.truth.Reps[2]
	at := odd.Release.Seconds
	turned, quiet := *s.motion, *s.sound
	turned.packed, turned.ends = nil, nil
	for i := range s.motion.Len() {
		cells := s.motion.Cells(i, nil)
		if d := s.motion.Times[i] - at; d > -1.5 && d < 1.2 {
			for y := range s.motion.Rows {
				slices.Reverse(cells[y*s.motion.Cols : (y+1)*s.motion.Cols])
			}
		}
		turned.packed = pack(turned.packed, cells)
		turned.ends = append(turned.ends, len(turned.packed))
	}
	quiet.Onsets = slices.DeleteFunc(slices.Clone(quiet.Onsets), func(o Onset) bool { return o.Time > at && o.Time < at+1.2 })
	if got := s.compare(Find(&turned, &quiet)); got.silent != 0 {
		t.Error("a rep that moves the other way round is lost without a trace")
	}
}
