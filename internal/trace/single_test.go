package trace

import (
	"slices"
	"testing"

	"tenoff/internal/demo"
)

// A single delivery with its pop is sure. Where sounds as loud come again and again, that
// one followed it says nothing.
func TestASingleDeliveryAmongLoudSounds(t *testing.T) {
	t.Parallel()
	s := newSession(t, "single", demo.Options{Seed: 91, Reps: pitches(1), Rest: 6, Pace: demo.FPS(30, 1)})
	f := Find(s.motion, s.sound)
	if got := s.compare(f); got.sure != 1 || got.false_+got.ask_ != 0 {
		t.Fatalf("a single delivery with its pop: %+v", f.Candidates)
	}
	k := slices.IndexFunc(s.sound.Onsets, func(o Onset) bool { return o.Time == f.Candidates[0].Pop })
	loud := s.sound.Onsets[k]
	noisy := *s.sound
	for at := 0.4; at < s.motion.End; at++ {
		if at < loud.Time-popLatest || at > loud.Time+popLatest {
			loud.Time = at
			noisy.Onsets = append(slices.Clone(noisy.Onsets), loud)
			loud.Time = s.sound.Onsets[k].Time
		}
	}
	slices.SortFunc(noisy.Onsets, func(a, b Onset) int {
		if a.Time < b.Time {
			return -1
		}
		return 1
	})
	if got := s.compare(Find(s.motion, &noisy)); got.sure+got.false_ != 0 || got.asked != 1 {
		t.Errorf("among %d sounds as loud: %d sure, %d asked about", len(noisy.Onsets)-len(s.sound.Onsets), got.sure+got.false_, got.asked)
	}
}
