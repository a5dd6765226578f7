// Package clip makes clips: a pure plan (the argument list for ffmpeg and the
// files it reads) and a thin run.
//
// A clip plays in real time whatever the film's rate, and its release frame is on
// show from exactly the promised time on.
package clip

import (
	"context"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

// Source is a film to cut from: the original, or its cut source where the
// original's container cannot be cut exactly.
type Source struct {
	Path      string
	Container string // as film.Probe names it
	Clock     bullpen.Clock
	// FirstTick is the container's own time of the clock's frame 0, in the
	// clock's ticks: what the film's packets are stamped with.
	FirstTick     int64
	Width, Height int // as shown, after rotation
	HDR           bool
	HasSound      bool
}

// Window is the stretch of the film around release that a clip shows, in real
// seconds. Both are cut to what the film has.
type Window struct {
	Before float64 `json:"before"` // in [0.1, 10]; rounded up to a tenth
	After  float64 `json:"after"`  // in [0.1, 10]; rounded up to a tenth
}

// DefaultWindow is 2.5 s before to 1.5 s after release.
var DefaultWindow = Window{Before: 2.5, After: 1.5}

// Side is one rep of a clip: where it is filmed and what the caption says.
type Side struct {
	Source  Source
	Release int // frame index of Source.Clock
	Facts   caption.Facts
}

// Single asks for a clip of one rep.
type Single struct {
	Side
	Window
	// Repeat shows the last half second before release again, at quarter speed,
	// after the window.
	Repeat bool
}

// Pair asks for two reps in one picture, aligned at release.
type Pair struct {
	Left, Right Side
	Window
	Speed float64 // played rate: 1, 0.5, 0.25 or 0.125
	// Blend lays the right picture over the left one instead of beside it.
	Blend bool
}

// Plan is a clip ready to be made.
type Plan struct {
	Args          []string // for ffmpeg, without the output's name; run in a folder that holds Files
	Files         []File
	Cues          []caption.Cue
	Width, Height int
	Release       time.Duration // when the release frame is first on show; a multiple of 0.1 s
	Length        time.Duration
}

// File is something ffmpeg reads beside the film.
type File struct {
	Name string
	Data []byte
}

// PlanSingle plans a clip of one rep. It fails with a *bullpen.Error when the
// release does not lie on the film.
func PlanSingle(s Single) (Plan, error) { return Plan{}, nil }

// PlanPair plans two reps in one picture.
func PlanPair(p Pair) (Plan, error) { return Plan{}, nil }

// Run makes the clip and publishes it as dest by rename: dest is complete or not
// there. progress, when not nil, is told the share done in [0, 1].
func Run(ctx context.Context, p Plan, dest string, progress func(float64)) error { return nil }
