package bullpen

// Starter is a workout that an instructor has from the beginning, for what a bullpen may
// show.
type Starter struct {
	Key string // "legs", "arm" or "blend"
	For string // what it is for, a few words
	Workout
}

// StarterWorkouts are of our own making (common practice, no source). Every set ends in
// full pitches, none asks for a longer stride, and none is longer than a short bullpen.
// They go by the names of StarterDrills.
var StarterWorkouts = []Starter{
	{"legs", "legs that slow down on the change-up", Workout{
		Title: "Fast legs",
		Note:  "Let your legs make the same noise on every pitch. The ball may do what it likes. Rest between sets, and stop if anything hurts.",
		Sets: []Set{
			{2, []Line{{"Walk-through", Fastball, 2}, {"Walk-through", ChangeUp, 3}, {"", Fastball, 1}, {"", ChangeUp, 2}}},
			{1, []Line{{"Same body, two grips", Fastball, 2}, {"Same body, two grips", ChangeUp, 2}, {"", Fastball, 1}, {"", ChangeUp, 3}}},
		},
	}},
	{"arm", "an arm that slows down on the change-up", Workout{
		Title: "Whole circle",
		Note:  "Arm as fast as on your fastball, all the way round; only the grip is another. Rest between sets, and stop if anything hurts.",
		Sets: []Set{
			{2, []Line{{"Full circle, feet set", Fastball, 2}, {"Full circle, feet set", ChangeUp, 3}, {"", Fastball, 1}, {"", ChangeUp, 2}}},
			{1, []Line{{"Into the net", Fastball, 2}, {"Into the net", ChangeUp, 2}, {"", Fastball, 1}, {"", ChangeUp, 3}}},
		},
	}},
	{"blend", "a change-up whose gap comes and goes", Workout{
		Title: "Two grips, one pitch",
		Note:  "Somebody who watches you should not guess which one is coming. Say nothing, change only the grip. Rest between sets, and stop if anything hurts.",
		Sets: []Set{
			{3, []Line{{"Same body, two grips", Fastball, 2}, {"Same body, two grips", ChangeUp, 2}, {"", Fastball, 1}, {"", ChangeUp, 2}}},
		},
	}},
}

// StarterOf returns the starter workout with a key.
func StarterOf(key string) (Starter, bool) {
	for _, s := range StarterWorkouts {
		if s.Key == key {
			return s, true
		}
	}
	return Starter{}, false
}
