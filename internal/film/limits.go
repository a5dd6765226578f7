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

	// maxPackets is the most pieces of all streams together: MaxFrames of picture,
	// two hours of sound in pieces of 1024 samples, and as much again of what phones
	// note beside them.
	maxPackets = 2_000_000

	// A film may always have freePixels in all its frames, ten minutes of 1080p at 30
	// a second; more of them only at leastBits a pixel in the file. Phones take 0.1 and
	// more; libx264's cheapest, a black 1080p film of 20 s, took 0.0003.
	freePixels = 1920 * 1080 * 30 * 600
	leastBits  = 0.0001

	minSide   = 32 // pixels
	maxAspect = 6  // long side to short side
	minFrames = 2

	probeLimit = 10 * time.Minute // of going through the packets of a film
)

// hollow refuses a film with so much picture in so few bytes that no camera made it:
// decoding it would take hours, and show nothing.
func (f *Facts) hollow() error {
	pixels := float64(f.Width) * float64(f.Height) * float64(f.Clock.Frames())
	if pixels <= freePixels || 8*float64(f.Bytes) >= leastBits*pixels {
		return nil
	}
	return refused(f.Name, "has %d frames of %d by %d pixels in %.1f MB, which no camera makes. Send the film as the phone made it.",
		f.Clock.Frames(), f.Width, f.Height, float64(f.Bytes)/1e6)
}

// readLimit returns how long the decoding pass may take: ten minutes and as long
// as a slow machine takes, which decodes 10 million pixels a second.
func readLimit(f Facts) time.Duration {
	pixels := float64(f.Width) * float64(f.Height) * float64(f.Clock.Frames())
	return min(10*time.Minute+time.Duration(pixels/10e6*float64(time.Second)), 12*time.Hour)
}

// Long reports whether reading the film takes longer than an ordinary lesson's: about
// four minutes on two quiet processors, which decode and code 200 million pixels a
// second, and go through 1500 frames of no size at all.
func (f Facts) Long() bool {
	frames := float64(f.Clock.Frames())
	pixels := float64(f.Width) * float64(f.Height) * frames
	return pixels/200e6+frames/1500 > 4*60
}
