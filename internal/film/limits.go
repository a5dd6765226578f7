package film

import "time"

// What is read at most. Everything a bullpen needs lies far below.
const (
	// MaxPixels is the largest picture that is decoded: 4096 x 2176, a little more
	// than 4K.
	MaxPixels = 4096 * 2176
	// MaxSeconds is the longest film, in seconds of the file.
	MaxSeconds = 2 * 60 * 60
	// MaxFrames is the most frames: half an hour at 240 a second, two hours at 60.
	MaxFrames = 450_000

	minSide   = 32 // pixels
	maxAspect = 6  // long side to short side
	minFrames = 2

	probeLimit = 10 * time.Minute // of going through the packets of a film
)

// readLimit returns how long the decoding pass may take: ten minutes and as long
// as a slow machine takes, which decodes 10 million pixels a second.
func readLimit(f Facts) time.Duration {
	pixels := float64(f.Width) * float64(f.Height) * float64(f.Clock.Frames())
	return min(10*time.Minute+time.Duration(pixels/10e6*float64(time.Second)), 12*time.Hour)
}
