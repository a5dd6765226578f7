package caption

import "time"

// Cue is something said over a stretch of the clip: [Start, End), both on the
// clip's own clock. Starts fall on the frame that first shows the cue.
type Cue struct {
	Start, End time.Duration
	Place      Place
	Rows       []Row
}

// Place is the part of the bar a cue is written into.
type Place int

// The places.
const (
	Whole Place = iota // the bar of a single clip
	Left               // the left half of a pair's bar
	Right              // the right half
	Clock              // the row above both halves, centred; burned in only
)

// Row is one line of a cue.
type Row []Span

// Span is a piece of a row in one colour.
type Span struct {
	// Join stands between this span and what is left of it in the row; it
	// disappears with a neighbour that has nothing to show.
	Join string
	Text string
	Tone Tone
	// User marks text that somebody typed: it is the first to be cut when a row
	// is too long.
	User bool
}

// Tone is a span's colour. No meaning hangs on the colour alone: every verdict
// also has its own shape and its words.
type Tone int

// The tones.
const (
	Plain   Tone = iota // white
	Firm                // too firm: orange
	In                  // in the band: green
	Soft                // soft: blue
	TooSoft             // too soft: pink
	Aside               // what only explains: light gray
)

// Times are the instants of a clip that its cues hang on.
type Times struct {
	Release time.Duration // the first frame of the ball out of the hand
	Repeat  time.Duration // the quarter-speed repeat begins; 0: there is none
	End     time.Duration
}
