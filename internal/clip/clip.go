// Package clip makes clips: a pure plan (the argument list for ffmpeg and the
// files it reads) and a thin run.
//
// A clip plays in real time whatever the film's rate: a film that the phone
// slowed is played as fast as it was thrown, its sound likewise. The release
// frame is on show from exactly the promised time on, a whole tenth of a second.
// No clip has more than 60 frames a second: a film of up to that many keeps every
// frame at its own time, of a faster one the frames nearest the beats of 1/60 s
// before and after release are kept, the release frame always. A film that ends
// with the release stands still for a second, so that the number can be read.
//
// The picture is never covered: captions stand on a bar under it, and both
// together lie within 1080p.
package clip

import (
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/film"
)

// Source is a film to cut from.
type Source struct {
	// Path is the absolute path of the file that Cut names: the original, or what
	// was made of it where the original's container can't be cut exactly.
	Path          string
	Cut           film.Cut
	Clock         bullpen.Clock
	Width, Height int // as shown, after rotation
	HDR           bool
}

// Window is the stretch of the film around release that a clip shows, in real
// seconds. Both ends are cut to what the film has.
type Window struct {
	Before float64 `json:"before"` // in (0, 10]; rounded up to a tenth; 0: 2.5
	After  float64 `json:"after"`  // in (0, 10]; rounded up to a tenth; 0: 1.5
}

// DefaultWindow is what a Window without numbers is taken for.
var DefaultWindow = Window{Before: 2.5, After: 1.5}

// Side is one rep of a clip: where it is filmed and what the caption says.
type Side struct {
	Source  Source
	Release int // frame index of Source.Clock
	Facts   caption.Facts
	// Sketches are burned in over the film, each from its frame on; in the order of
	// their frames.
	Sketches []Sketch
}

// Sketch is what was drawn on one frame of a film.
type Sketch struct {
	Frame  int             `json:"frame"`
	Shapes []bullpen.Shape `json:"shapes"`
	// Moving is of what follows her from frame to frame: it is on show with its frame only,
	// and leaves what somebody drew alone.
	Moving bool `json:"moving,omitempty"`
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
	Speed float64 // played rate: 1, 0.5, 0.25 or 0.125; 0: 1
	// Blend lays the right picture over the left one instead of beside it.
	Blend bool
	// Difference shows, laid over each other, only where the two pictures differ.
	Difference bool
	// Stretch is how many times as fast the left rep is played as the right one, so
	// that shape can be compared apart from speed; 0 or 1: both at their own speed. A
	// stretched rep is not heard.
	Stretch float64
	// Chart is laid under the pictures, nil for none. Its seconds are those of the
	// left rep as it is played; when the release is on show is filled in.
	Chart *caption.Chart
}

// Plan is a clip ready to be made.
type Plan struct {
	Args          []string // for ffmpeg, from the first input to the last output option; run in a folder that holds Files
	Files         []File
	Cues          []caption.Cue
	Sketches      []caption.Sketch
	Width, Height int           // of the clip, bar included
	Bar           caption.Bar   // where the captions are
	Release       time.Duration // when the release frame is first on show
	Length        time.Duration
}

// File is something ffmpeg reads beside the film, by a name of ours.
type File struct {
	Name string
	Data []byte
}
