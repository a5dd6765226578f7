package bullpen

import (
	"slices"
	"strings"
	"testing"
)

func TestStarterWorkouts(t *testing.T) {
	for _, s := range StarterWorkouts {
		if err := s.Check(); err != nil {
			t.Errorf("%s: %v", s.Key, err)
		}
		if n := s.Reps(); n > 30 { // a short bullpen; common practice, no source
			t.Errorf("%s has %d reps", s.Key, n)
		}
		for i, set := range s.Sets {
			if last := set.Lines[len(set.Lines)-1]; last.Drill != "" || last.Pitch != ChangeUp {
				t.Errorf("%s: set %d does not end in full change-ups", s.Key, i+1)
			}
			for _, l := range set.Lines {
				if l.Drill != "" && !slices.ContainsFunc(StarterDrills, func(d Drill) bool { return d.Name == l.Drill }) {
					t.Errorf("%s: nobody says how %q is done", s.Key, l.Drill)
				}
			}
		}
		if !strings.Contains(s.Note, "stop if anything hurts") {
			t.Errorf("%s has no caution", s.Key)
		}
		for _, word := range []string{"stride", "longer", "more pitches", "harder"} {
			if strings.Contains(strings.ToLower(s.Title+s.Note+s.For), word) {
				t.Errorf("%s says %q", s.Key, word)
			}
		}
		if same, ok := StarterOf(s.Key); !ok || same.Title != s.Title {
			t.Errorf("%s is not found by its key", s.Key)
		}
	}
}
