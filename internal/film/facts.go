package film

import (
	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// Facts is what a file says of itself.
type Facts struct {
	Name      string // as sentences for the user call the file
	Container string // the demuxer that reads it: mov, matroska, avi or mpegts
	Bytes     int64
	Codec     string // of the picture, as ffprobe names it: h264, hevc ...
	Width     int    // as shown, after rotation
	Height    int
	Transfer  Transfer
	HasSound  bool
	Recorded  int64 // microseconds UTC, 0 if the file does not say
	// Clock is the frame clock that the file's packets promise; Made has the one
	// that was found by decoding. Ticks[0] is 0.
	Clock bullpen.Clock
	// Plays is whether browsers play the picture as it is coded, so that the film may be
	// stepped before it was read, see Open.
	Plays     bool
	SlowKnown bool // Clock.Slow comes from the file
	Cut       Cut  // how to cut from the original

	// Heard is what Hear heard with this clock, so that Read need not listen again; nil
	// where nobody has listened.
	Heard *trace.Sound

	stated bool // every packet states its time, so Clock is more than a guess
}

// Transfer is how a picture's numbers become light.
type Transfer string

// The transfers.
const (
	SDR Transfer = ""    // an ordinary picture
	HLG Transfer = "hlg" // hybrid log-gamma, ITU-R BT.2100
	PQ  Transfer = "pq"  // perceptual quantiser, SMPTE ST 2084
)

// HDR reports whether the picture has to be tone-mapped for an ordinary screen.
func (f Facts) HDR() bool { return f.Transfer != SDR }

// Seconds returns how long the file plays.
func (f Facts) Seconds() float64 { return f.Clock.Seconds() }

// Keeps reports whether the frames that the film is read as are those of Clock, as far as
// its packets can say: one that is packed anew gets a clock of its own.
func (f Facts) Keeps() bool { return f.Container != mpegts }

// Cut is how to cut from a film exactly: which file, and where the film's clock
// lies in it. Frame i has the file's own time (pts) FirstTick + Ticks[i] -
// Ticks[0], in the clock's ticks.
type Cut struct {
	File      string  // beside the working copy; "" is the original
	Container string  // for SafeInput
	Video     int     // index of the picture's stream in the file
	Audio     int     // index of the sound's stream, -1 without sound
	FirstTick int64   // the file's own time of frame 0, in the clock's ticks
	Start     float64 // the file's start time in seconds, which ffmpeg's -ss counts from even with -copyts
}
