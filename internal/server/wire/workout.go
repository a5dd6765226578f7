package wire

import "tenoff/internal/bullpen"

// Drill is one of the instructor's drills.
type Drill struct {
	ID      string `json:"id"`
	Version int64  `json:"version" doc:"send it back with a PATCH"`
	Name    string `json:"name"`
	HowTo   string `json:"howTo" doc:"a sentence or two for the student"`
	ClipID  string `json:"clipId,omitempty" doc:"an example film: a clip on the shelf, shown to every student who is asked for this drill"`
}

// DrillList is every drill.
type DrillList struct {
	Drills []Drill `json:"drills" nullable:"false" doc:"by name; a starter list until somebody edits it"`
}

// NewDrill is a POST body.
type NewDrill struct {
	Name   string `json:"name" minLength:"1" maxLength:"80"`
	HowTo  string `json:"howTo,omitempty" maxLength:"600"`
	ClipID string `json:"clipId,omitempty" maxLength:"64" doc:"a finished clip; its pitcher needs a guardian's yes to examples, for others will see it"`
}

// DrillEdit is a PATCH body.
type DrillEdit struct {
	Version int64        `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	Name    *string      `json:"name,omitempty" minLength:"1" maxLength:"80"`
	HowTo   *string      `json:"howTo,omitempty" maxLength:"600"`
	ClipID  Edit[string] `json:"clipId,omitzero" doc:"null takes the example away"`
}

// WorkoutLine is one line of a set.
type WorkoutLine struct {
	Drill string        `json:"drill" maxLength:"80" doc:"a drill's name; empty: the full pitch"`
	Pitch bullpen.Pitch `json:"pitch"`
	Reps  int           `json:"reps" minimum:"1" maximum:"300"`
}

// WorkoutSet is lines thrown in order, some times over.
type WorkoutSet struct {
	Times int           `json:"times" minimum:"1" maximum:"20" doc:"how many times over: 3 makes three sets of it"`
	Lines []WorkoutLine `json:"lines" nullable:"false" minItems:"1" maxItems:"20"`
}

// WorkoutText is what a workout says.
type WorkoutText struct {
	Title string       `json:"title" minLength:"1" maxLength:"120"`
	Note  string       `json:"note,omitempty" maxLength:"2000" doc:"words to whoever throws it"`
	Sets  []WorkoutSet `json:"sets" nullable:"false" minItems:"1" maxItems:"20"`
}

// Workout is one that can be handed out, as often as it is wanted.
type Workout struct {
	ID      string `json:"id"`
	Version int64  `json:"version" doc:"send it back with a PUT"`
	WorkoutText
	Reps int `json:"reps" doc:"of all sets together"`
}

// WorkoutList is every workout.
type WorkoutList struct {
	Workouts []Workout `json:"workouts" nullable:"false" doc:"latest first"`
	Starters []Starter `json:"starters" nullable:"false" doc:"three to start with, which nobody has to write"`
	Caution  string    `json:"caution" doc:"to be shown beside a workout"`
}

// Starter is a workout that is there from the beginning: common practice, no source.
type Starter struct {
	Key  string `json:"key" enum:"legs,arm,blend"`
	For  string `json:"for" doc:"what it is for, a few words"`
	Reps int    `json:"reps" doc:"of all sets together"`
	WorkoutText
}

// StarterOf returns s as the API says it.
func StarterOf(s bullpen.Starter) Starter {
	return Starter{Key: s.Key, For: s.For, Reps: s.Reps(), WorkoutText: WorkoutTextOf(s.Workout)}
}

// WorkoutEdit is a PUT body: the whole workout anew. What was handed out stays as it
// was.
type WorkoutEdit struct {
	Version int64 `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	WorkoutText
}

// HandedWorkout is a workout as it was when it was handed out.
type HandedWorkout struct {
	WorkoutText
	Reps   int     `json:"reps" doc:"of all sets together"`
	Places []Place `json:"places" nullable:"false" doc:"every rep, along the workout"`
}

// Place is one rep of a workout, counted along it.
type Place struct {
	Set    int           `json:"set" doc:"1, 2, 3 ... through all sets, each time over counted"`
	Line   int           `json:"line" doc:"1, 2, 3 ... within the set"`
	Rep    int           `json:"rep" doc:"1, 2, 3 ... within the line"`
	Number int           `json:"number" doc:"1, 2, 3 ... within the set"`
	Drill  string        `json:"drill"`
	Pitch  bullpen.Pitch `json:"pitch"`
}

// Workout returns what was sent.
func (w WorkoutText) Workout() bullpen.Workout {
	out := bullpen.Workout{Title: w.Title, Note: w.Note, Sets: make([]bullpen.Set, len(w.Sets))}
	for i, s := range w.Sets {
		out.Sets[i] = bullpen.Set{Times: s.Times, Lines: make([]bullpen.Line, len(s.Lines))}
		for j, l := range s.Lines {
			out.Sets[i].Lines[j] = bullpen.Line(l)
		}
	}
	return out
}

// WorkoutTextOf returns w as the API says it.
func WorkoutTextOf(w bullpen.Workout) WorkoutText {
	out := WorkoutText{Title: w.Title, Note: w.Note, Sets: make([]WorkoutSet, len(w.Sets))}
	for i, s := range w.Sets {
		out.Sets[i] = WorkoutSet{Times: s.Times, Lines: make([]WorkoutLine, len(s.Lines))}
		for j, l := range s.Lines {
			out.Sets[i].Lines[j] = WorkoutLine(l)
		}
	}
	return out
}

// HandedWorkoutOf returns w as the API says it, rep by rep.
func HandedWorkoutOf(w bullpen.Workout) HandedWorkout {
	out := HandedWorkout{WorkoutText: WorkoutTextOf(w), Reps: w.Reps(), Places: []Place{}}
	for _, p := range w.Places() {
		out.Places = append(out.Places, Place(p))
	}
	return out
}

// DrillOf returns d as the API says it.
func DrillOf(d bullpen.Drill) Drill {
	return Drill{ID: d.ID, Version: d.Version, Name: d.Name, HowTo: d.HowTo, ClipID: d.ClipID}
}

// Onto writes what was sent onto d.
func (e DrillEdit) Onto(d *bullpen.Drill) {
	d.Version = e.Version
	set(&d.Name, e.Name)
	set(&d.HowTo, e.HowTo)
	clearable(&d.ClipID, e.ClipID, "")
}
