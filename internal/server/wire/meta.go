package wire

import "tenoff/internal/bullpen"

// PitchType is one kind of pitch.
type PitchType struct {
	Code   bullpen.Pitch `json:"code"`
	Key    string        `json:"key" minLength:"1" maxLength:"1" doc:"the one key that picks it in the film room"`
	Name   string        `json:"name"`
	Plural string        `json:"plural" doc:"several of them: change-ups"`
	Band   *Band         `json:"band,omitempty" doc:"the default target; none for a pitch that is not meant to be slower"`
}

// PitchTypes lists them in the order pages show them.
type PitchTypes struct {
	PitchTypes []PitchType `json:"pitchTypes" nullable:"false"`
}

// Level is an age or school level and what it plays with.
type Level struct {
	Key           string                 `json:"key"`
	Version       int64                  `json:"version" doc:"send it back with a PATCH"`
	Name          string                 `json:"name"`
	DistanceFeet  float64                `json:"distanceFeet" doc:"front of the rubber to the rear point of the plate, feet"`
	ExtensionFeet float64                `json:"extensionFeet" doc:"how far in front of the rubber the ball is let go, feet"`
	BallKind      string                 `json:"ballKind" enum:"12 in,11 in,baseball"`
	Bands         map[bullpen.Pitch]Band `json:"bands" doc:"the level's own bands by pitch code; a pitch without one uses its type's default"`
}

// LevelEdit is a PATCH body.
type LevelEdit struct {
	Version       int64                   `json:"version" doc:"the version you saw; 409 when it is no longer the current one"`
	Name          *string                 `json:"name,omitempty" minLength:"1" maxLength:"60"`
	DistanceFeet  *float64                `json:"distanceFeet,omitempty" minimum:"20" maximum:"70" doc:"feet"`
	ExtensionFeet *float64                `json:"extensionFeet,omitempty" minimum:"0" maximum:"12" doc:"feet"`
	BallKind      *string                 `json:"ballKind,omitempty" enum:"12 in,11 in,baseball"`
	Bands         *map[bullpen.Pitch]Band `json:"bands,omitempty" doc:"replaces all the level's own bands"`
}

// Levels lists them from the youngest.
type Levels struct {
	Levels []Level `json:"levels" nullable:"false"`
}

// Health says that the server answers and its store does.
type Health struct {
	OK      bool   `json:"ok"`
	Version string `json:"version"`
}

// Doctor says what this machine can do.
type Doctor struct {
	OK     bool    `json:"ok" doc:"everything the job needs is here"`
	Checks []Check `json:"checks" nullable:"false"`
}

// Check is one line of the doctor's answer.
type Check struct {
	Name  string `json:"name"`
	OK    bool   `json:"ok"`
	Found string `json:"found" doc:"what was found"`
	Todo  string `json:"todo,omitempty" doc:"one sentence, when it is not all right"`
}

// LevelOf returns l as the API says it.
func LevelOf(l bullpen.Level, version int64) Level {
	return Level{
		Key: l.Key, Version: version, Name: l.Name, DistanceFeet: l.DistanceFeet,
		ExtensionFeet: l.ExtensionFeet, BallKind: l.BallKind, Bands: bandsOf(l.Bands),
	}
}

// Onto writes what was sent onto l.
func (e LevelEdit) Onto(l *bullpen.Level) {
	set(&l.Name, e.Name)
	set(&l.DistanceFeet, e.DistanceFeet)
	set(&l.ExtensionFeet, e.ExtensionFeet)
	set(&l.BallKind, e.BallKind)
	if e.Bands != nil {
		l.Bands = bands(*e.Bands)
	}
}
