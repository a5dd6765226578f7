package bullpen

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// weekly is thrown twice over its first set and once over its second.
var weekly = Workout{Title: "Weekly", Sets: []Set{
	{Times: 2, Lines: []Line{{"Wrist snap", Fastball, 2}, {"", ChangeUp, 1}}},
	{Times: 1, Lines: []Line{{"", Fastball, 1}}},
}}

func TestPlaces(t *testing.T) {
	want := []Place{
		{1, 1, 1, 1, "Wrist snap", Fastball}, {1, 1, 2, 2, "Wrist snap", Fastball}, {1, 2, 1, 3, "", ChangeUp},
		{2, 1, 1, 1, "Wrist snap", Fastball}, {2, 1, 2, 2, "Wrist snap", Fastball}, {2, 2, 1, 3, "", ChangeUp},
		{3, 1, 1, 1, "", Fastball},
	}
	if diff := cmp.Diff(want, weekly.Places()); diff != "" {
		t.Error(diff)
	}
	if weekly.Reps() != len(want) {
		t.Errorf("%d reps", weekly.Reps())
	}
}

func TestLay(t *testing.T) {
	for _, c := range []struct {
		what   string
		places int
		shifts []int
		want   []int
	}{
		{"nothing thrown", 3, nil, []int{}},
		{"as planned", 3, []int{0, 0, 0}, []int{0, 1, 2}},
		{"one too many", 2, []int{0, 0, 0}, []int{0, 1, Beyond}},
		{"the second was left out", 4, []int{0, 1, 0}, []int{0, 2, 3}},
		{"the second repeats the first", 4, []int{0, -1, 0}, []int{0, 0, 1}},
		{"the first was left out", 3, []int{1, 0}, []int{1, 2}},
		{"back and forth", 5, []int{0, 1, -1, 0}, []int{0, 2, 2, 3}},
		{"two left out", 5, []int{0, 2, 0}, []int{0, 3, 4}},
		{"before the beginning", 3, []int{-1, 0, 0}, []int{Beyond, 0, 1}},
		{"beyond the end and back", 2, []int{0, 2, -2}, []int{0, Beyond, Beyond}},
	} {
		if got := WorkoutPlaces(c.places, c.shifts); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.what, got, c.want)
		}
	}
}

// What comes next follows what was laid; past the end it is a fastball.
func TestAhead(t *testing.T) {
	all, beyond := weekly.Places(), Place{Pitch: Fastball}
	for _, c := range []struct {
		shifts []int
		n      int
		want   []Place
	}{
		{nil, 2, all[:2]},
		{[]int{0, 0}, 1, all[2:3]},
		{[]int{0, 1}, 1, all[3:4]},
		{[]int{0, 0, -1}, 1, all[2:3]},
		{[]int{0, 0, 0, 0, 0, 0}, 3, []Place{all[6], beyond, beyond}},
		{[]int{-2}, 2, []Place{beyond, all[0]}},
		{nil, 0, []Place{}},
	} {
		if got := weekly.Ahead(c.shifts, c.n); got == nil || !slices.Equal(got, c.want) {
			t.Errorf("%d behind %v: %v, want %v", c.n, c.shifts, got, c.want)
		}
	}
}

func TestWorkoutCheck(t *testing.T) {
	if err := weekly.Check(); err != nil {
		t.Error(err)
	}
	line := []Line{{"", Fastball, 1}}
	for what, w := range map[string]Workout{
		"no title":      {Sets: []Set{{1, line}}},
		"no set":        {Title: "x"},
		"no line":       {Title: "x", Sets: []Set{{1, nil}}},
		"never thrown":  {Title: "x", Sets: []Set{{0, line}}},
		"no rep":        {Title: "x", Sets: []Set{{1, []Line{{"", Fastball, 0}}}}},
		"unknown pitch": {Title: "x", Sets: []Set{{1, []Line{{"", "zz", 1}}}}},
		"too many reps": {Title: "x", Sets: []Set{{20, []Line{{"", Fastball, 16}}}}},
	} {
		if CodeOf(w.Check()) != Invalid {
			t.Errorf("%s is accepted", what)
		}
	}
	for _, d := range StarterDrills {
		if err := d.Check(); err != nil {
			t.Errorf("%s: %v", d.Name, err)
		}
	}
}
