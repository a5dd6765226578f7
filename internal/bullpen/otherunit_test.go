package bullpen

import (
	"slices"
	"testing"
)

// A run in the other unit than the gun's is asked about as a whole, with what each
// reading then was; one that merely is fast or slow is not.
func TestOtherUnit(t *testing.T) {
	const all7 = "All 7 look like km/h: 88 km/h is 55 mph. Is the gun set to km/h?"
	for _, c := range []struct {
		name  string
		unit  Unit
		usual Speed
		words string
		asked []int // the reps' numbers
		want  string
	}{
		{"km/h, nothing before", MPH, 0, "fb88 fb87 fb89 ch73 ch72 ch74 ch71", []int{1, 2, 3, 4, 5, 6, 7}, all7},
		{"km/h, bullpens before", MPH, 56, "fb88 fb87 fb89 ch73 ch72 ch74 ch71", []int{1, 2, 3, 4, 5, 6, 7}, all7},
		{"change-ups first", MPH, 56, "ch73 ch72 ch74 ch71 fb88 fb87 fb89", []int{1, 2, 3, 4, 5, 6, 7}, all7},
		{"those before in km/h too", MPH, 88, "fb88 fb87 fb89 ch73 ch72 ch74 ch71", []int{1, 2, 3, 4, 5, 6, 7}, all7},
		{"a younger pitcher", MPH, 44, "fb70 fb71 fb70 ch58", []int{1, 2, 3, 4}, "All 4 look like km/h: 70 km/h is 43 mph. Is the gun set to km/h?"},
		{"over 90", MPH, 60, "fb97 fb96 ch80", []int{1, 2, 3}, "All 3 look like km/h: 97 km/h is 60 mph. Is the gun set to km/h?"},
		{"a single one", MPH, 56, "fb89", []int{1}, "Sure about 89 mph? It looks like km/h: 89 km/h is 55 mph. Is the gun set to km/h?"},
		{"a single one, nothing before", MPH, 0, "fb89", []int{1}, "Sure about 89 mph? It looks like km/h: 89 km/h is 55 mph. Is the gun set to km/h?"},
		{"one beside another", MPH, 56, "fb55 fb89", []int{2}, "Sure about 89 mph? It looks like km/h: 89 km/h is 55 mph. Is the gun set to km/h?"},
		{"behind a right run", MPH, 56, "fb55 fb56 fb55 ch46 fb88 fb87 fb89", []int{5, 6, 7}, "3 of 7 readings look like km/h: 88 km/h is 55 mph. Is the gun set to km/h?"},
		{"mph, gun at km/h", KMH, 56, "fb55 fb56 fb54 ch45 ch46", []int{1, 2, 3, 4, 5}, "All 5 look like mph: 55 mph is 89 km/h. Is the gun set to mph?"},
		{"drills with it", MPH, 56, "fb88 fb87 fb75/knee", []int{1, 2, 3}, "All 3 look like km/h: 88 km/h is 55 mph. Is the gun set to km/h?"},
		{"right", MPH, 56, "fb55 fb56 fb54 ch45 ch46", nil, ""},
		{"right in km/h", KMH, 56, "fb88 fb87 fb89 ch73", nil, ""},
		{"right after a run in the wrong unit", MPH, 88, "fb55 fb56 fb54 ch45", nil, ""},
		{"fast", MPH, 0, "fb71 fb70 fb72 ch60", nil, ""},
		{"much faster than before", MPH, 45, "fb58 fb57 fb58 ch48", nil, ""},
		{"nothing but change-ups", MPH, 56, "ch73 ch72", []int{1, 2}, "All 2 look like km/h: 73 km/h is 45 mph. Is the gun set to km/h?"},
		{"nothing but quick change-ups", MPH, 50, "ch52 ch51", nil, ""},
		{"slow drills", KMH, 56, "fb45/wrist fb44/wrist", nil, ""},
		{"slow in km/h, nothing before", KMH, 0, "fb55 fb56 fb54", nil, ""},
		{"in the warm-up only", MPH, 56, "wfb88 wfb87 fb55", nil, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			pen := pen
			pen.Unit, pen.Usual = c.unit, c.usual
			reps := thrownReps(t, c.words)
			for i, q := range Questions(pen, reps) {
				asked := slices.Contains(c.asked, i+1)
				switch {
				case asked != (q.Sentence != ""):
					t.Errorf("rep %d: %q", i+1, q.Sentence)
				case !asked:
				case q.Sentence != c.want:
					t.Errorf("rep %d: %q, want %q", i+1, q.Sentence, c.want)
				case q.Meant == nil || q.Meant.Value != reps[i].Reading.Value || q.Meant.Unit == c.unit:
					t.Errorf("rep %d: meant %+v", i+1, q.Meant)
				}
			}
		})
	}
}

// One that is put right leaves the others asked about.
func TestOtherUnitOneByOne(t *testing.T) {
	for _, unit := range []Unit{MPH, KMH} {
		words := map[Unit]string{MPH: "fb88 fb87 fb89 ch73 ch72 ch74 ch71", KMH: "fb55 fb54 fb55 ch45 ch46 ch44"}[unit]
		oneByOne(t, unit, thrownReps(t, words))
	}
}

func oneByOne(t *testing.T, unit Unit, reps []Rep) {
	t.Helper()
	pen := pen
	pen.Unit, pen.Usual = unit, 56
	for k := range reps {
		meant := Questions(pen, reps)[k].Meant
		if meant == nil {
			t.Fatalf("rep %d is not asked about once those before are right", k+1)
		}
		reps[k].Reading = meant
	}
	for i, q := range Questions(pen, reps) {
		if q.Sentence != "" {
			t.Errorf("rep %d, put right: %s", i+1, q.Sentence)
		}
	}
}
