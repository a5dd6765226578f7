package bullpen

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// Line is one line of a workout: so many reps of a pitch in a drill.
type Line struct {
	Drill string `json:"drill"` // a drill's name, "" for the full pitch
	Pitch Pitch  `json:"pitch"`
	Reps  int    `json:"reps"`
}

// Set is some lines, thrown in order, as many times over as Times says.
type Set struct {
	Times int    `json:"times"`
	Lines []Line `json:"lines"`
}

// Workout is what a pitcher is asked to throw.
type Workout struct {
	Title string `json:"title"`
	Note  string `json:"note"` // words to whoever throws it
	Sets  []Set  `json:"sets"`
}

// The most of a workout. More reps than this in one homework is no workout.
const (
	MostSets  = 20
	MostLines = 20
	MostReps  = 300 // of the whole workout
)

// Reps counts all reps of the workout.
func (w Workout) Reps() (n int) {
	for _, s := range w.Sets {
		for _, l := range s.Lines {
			n += s.Times * l.Reps
		}
	}
	return n
}

// Check returns an *Error of code Invalid that says what is wrong with the workout,
// or nil.
func (w Workout) Check() error {
	if strings.TrimSpace(w.Title) == "" || utf8.RuneCountInString(w.Title) > 120 || utf8.RuneCountInString(w.Note) > 2000 {
		return Errorf(Invalid, "A workout needs a title of at most 120 letters, and a note of at most 2000.")
	}
	if len(w.Sets) == 0 || len(w.Sets) > MostSets {
		return Errorf(Invalid, "A workout has 1 to %d sets; this one has %d.", MostSets, len(w.Sets))
	}
	for i, s := range w.Sets {
		if s.Times < 1 || s.Times > MostSets || len(s.Lines) == 0 || len(s.Lines) > MostLines {
			return Errorf(Invalid, "Set %d is thrown 1 to %d times and has 1 to %d lines; correct it.", i+1, MostSets, MostLines)
		}
		for j, l := range s.Lines {
			if _, known := TypeOf(l.Pitch); !known {
				return Errorf(Invalid, "Set %d, line %d: there is no pitch with the code %q.", i+1, j+1, l.Pitch)
			}
			if l.Reps < 1 || l.Reps > MostReps || utf8.RuneCountInString(l.Drill) > MostDrill {
				return Errorf(Invalid, "Set %d, line %d: write 1 to %d reps, and a drill of at most %d letters.", i+1, j+1, MostReps, MostDrill)
			}
		}
	}
	if n := w.Reps(); n > MostReps {
		return Errorf(Invalid, "This workout has %d reps; the most is %d. Make it shorter.", n, MostReps)
	}
	return nil
}

// Place is one rep of a workout, counted along it.
type Place struct {
	Set    int // 1, 2, 3 ... through all sets, each time over counted
	Line   int // 1, 2, 3 ... within the set
	Rep    int // 1, 2, 3 ... within the line
	Number int // 1, 2, 3 ... within the set
	Drill  string
	Pitch  Pitch
}

// Places lays the workout out, rep by rep: set 1 line 1 rep 1, and so on.
func (w Workout) Places() []Place {
	var out []Place
	set := 0
	for _, s := range w.Sets {
		for range s.Times {
			set++
			number := 0
			for i, l := range s.Lines {
				for rep := range l.Reps {
					number++
					out = append(out, Place{Set: set, Line: i + 1, Rep: rep + 1, Number: number, Drill: l.Drill, Pitch: l.Pitch})
				}
			}
		}
	}
	return out
}

// Ahead returns the places of the next n reps behind those that the shifts were counted
// for, see Lay. One that the workout has no place for is a fastball, see At.
func (w Workout) Ahead(shifts []int, n int) []Place {
	places, out := w.Places(), make([]Place, n)
	for i, at := range WorkoutPlaces(len(places), slices.Concat(shifts, make([]int, n)))[len(shifts):] {
		out[i] = At(places, at)
	}
	return out
}

// At returns one of a workout's places; Beyond them a rep is a fastball, and no more is
// said of it.
func At(places []Place, at int) Place {
	if at == Beyond {
		return Place{Pitch: Fastball}
	}
	return places[at]
}

// Beyond is the place of a rep that the workout has no place for.
const Beyond = -1

// WorkoutPlaces says which place each of n = len(shifts) reps, in the order thrown, has in a
// workout of that many places: rep i goes one place on from the one before it, and
// shifts[i] further. A shift of 1 means that one was left out before this rep, -1
// that this rep repeats the one before it; what follows moves along. Reps after the
// end of the workout, or shifted before its beginning, are Beyond.
func WorkoutPlaces(places int, shifts []int) []int {
	out := make([]int, len(shifts))
	at := -1
	for i, shift := range shifts {
		at += 1 + shift
		out[i] = Beyond
		if at >= 0 && at < places {
			out[i] = at
		}
	}
	return out
}
