package bullpen

import (
	"cmp"
	"sort"
)

// Clock is a film's frame clock: the presentation time of every shown frame, in
// ticks of the container's time base. Nothing assumes a constant frame rate.
type Clock struct {
	Num, Den int64   // one tick is Num/Den seconds of the file
	Ticks    []int64 // rising; Ticks[0] is the first shown frame
	// Slow is how many times the file plays slower than the camera captured it:
	// 1 for an ordinary film, 8 for 240 frames a second stretched to 30.
	Slow float64
}

// Frames returns the number of frames.
func (c Clock) Frames() int { return len(c.Ticks) }

// FileSeconds returns frame i's time in the file, counted from the first shown
// frame. i must lie in [0, Frames()).
func (c Clock) FileSeconds(i int) float64 {
	return float64((c.Ticks[i]-c.Ticks[0])*c.Num) / float64(c.Den)
}

// Seconds returns how long the film plays, the last frame lasting as long as the
// one before it; 0 for fewer than two frames.
func (c Clock) Seconds() float64 {
	n := len(c.Ticks)
	if n < 2 {
		return 0
	}
	return 2*c.FileSeconds(n-1) - c.FileSeconds(n-2)
}

// RealSeconds returns the time that passed in the world between frames a and b.
func (c Clock) RealSeconds(a, b int) float64 {
	return float64((c.Ticks[b]-c.Ticks[a])*c.Num) / float64(c.Den) / c.SlowFactor()
}

// SlowFactor returns how many times slower than life the film plays: 1 where nobody said.
func (c Clock) SlowFactor() float64 {
	if c.Slow > 0 {
		return c.Slow
	}
	return 1
}

// At returns the index of the frame on show at file time s (seconds from the
// first shown frame): the last frame whose time is not after s, or 0.
func (c Clock) At(s float64) int {
	i := sort.Search(len(c.Ticks), func(i int) bool { return c.FileSeconds(i) > s+1e-9 })
	return max(i-1, 0)
}

// View says where the phone stood.
type View string

// The views of a film.
const (
	ViewUnknown  View = ""
	ViewSide     View = "side"
	ViewDiagonal View = "diagonal"
	ViewBehind   View = "behind"
)

// FilmState is how far a film has come.
type FilmState string

// The states of a film.
const (
	FilmArriving FilmState = "arriving" // bytes are still coming in
	FilmReading  FilmState = "reading"  // the decoding pass is queued or running
	FilmReady    FilmState = "ready"
	FilmRefused  FilmState = "refused" // unusable; Refusal says why in one sentence
)

// Film is one video file of a bullpen.
type Film struct {
	ID        string
	BullpenID string
	Name      string // as the phone named it; never a path
	SHA256    string // of the original, hex
	Bytes     int64
	State     FilmState
	Refusal   string
	Position  int   // order within the bullpen, from 0
	Recorded  int64 // microseconds UTC, 0 if the file does not say
	Width     int   // as shown, after rotation
	Height    int
	Codec     string
	HDR       bool
	HasSound  bool
	Clock     Clock
	// SlowKnown is false when Slow is only the default: a film slowed inside the
	// phone without a note in the file looks like any other.
	SlowKnown bool
	View      View
	// FoundBox is where tenoff found the pitcher in the picture, Box where somebody
	// said that she is; either may be none.
	FoundBox, Box Box
	// FoundSlow is how many times slower than Slow the film looks to play, 1 where
	// nothing speaks for it. TooShort is true where too little is on it to tell a rep.
	FoundSlow float64
	TooShort  bool
	// SoundLate is by how many real seconds its sound lags its picture, as somebody
	// accepted it (negative: leads); 0 where they are in step as far as anybody said.
	SoundLate float64
	Version   int64
}

// Pitcher is where she stands in the picture: as somebody said, or else as it was found;
// it may be none.
func (f Film) Pitcher() Box { return cmp.Or(f.Box, f.FoundBox) }
