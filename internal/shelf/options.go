package shelf

import (
	"encoding/json"

	"tenoff/internal/bullpen"
	"tenoff/internal/clip"
)

// Options says how a clip is made. Zero values are the usual ones.
type Options struct {
	clip.Window
	Slow  bool `json:"slow,omitempty"`  // a single: repeat the last half second before release at quarter speed
	Label bool `json:"label,omitempty"` // burn the pitcher's label in
	Body  bool `json:"body,omitempty"`  // say how fast the body was and where the gap came from, where that is known
	// Drawings burns in what was drawn on the rep's frames.
	Drawings bool `json:"drawings,omitempty"`
	// Lines draws how her trunk leans and her hips lie, where her joints are seen.
	Lines bool `json:"lines,omitempty"`
	// Of a pair:
	Speed float64 `json:"speed,omitempty"` // played rate, 0 is 1
	Blend bool    `json:"blend,omitempty"` // one picture over the other instead of beside it
	// Difference shows only where the pictures differ, laid over each other.
	Difference bool `json:"difference,omitempty"`
	// Phases lays both reps' instants and motion under the pictures, where they are
	// known.
	Phases bool `json:"phases,omitempty"`
	// Stretch plays the off-speed rep faster, so that its delivery lasts as long as
	// the fastball's.
	Stretch bool `json:"stretch,omitempty"`
}

// usual fills in what was left out, so that equal clips have equal options.
func (o Options) usual() Options {
	if o.Before == 0 {
		o.Before = clip.DefaultWindow.Before
	}
	if o.After == 0 {
		o.After = clip.DefaultWindow.After
	}
	if o.Speed == 0 {
		o.Speed = 1
	}
	return o
}

func (o Options) json() string {
	b, err := json.Marshal(o)
	if err != nil { // NaN or infinite
		return "{}"
	}
	return string(b)
}

func optionsFrom(text string) (Options, error) {
	var o Options
	if err := json.Unmarshal([]byte(text), &o); err != nil {
		return o, &bullpen.Error{Code: bullpen.Internal, Message: "This clip's settings can't be read; make it again.", Err: err}
	}
	return o.usual(), nil
}
