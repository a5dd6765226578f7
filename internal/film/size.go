package film

import "math"

// workingSide is the longest side of the working copy: 720p.
const workingSide = 1280

// workingSize returns the working copy's size for a film shown width x height:
// the nearest even numbers, never larger than the film.
func workingSize(width, height int) (int, int) {
	scale := min(1, workingSide/float64(max(width, height)))
	even := func(v int) int { return 2 * int(math.Ceil(float64(v)*scale/2-0.5)) }
	return even(width), even(height)
}

// Sizes of the gray frames that motion is measured on, pixels.
const (
	grayShort = 90
	grayCell  = 5 // the long side is whole cells of the trace
	grayLong  = 200
)

// graySize returns the size of the gray frames of a film shown width x height:
// 160 x 90 for 16:9, 90 x 160 upright. A very long shape is squeezed.
func graySize(width, height int) (int, int) {
	long := func(ratio float64) int {
		return min(grayCell*int(math.Round(grayShort*ratio/grayCell)), grayLong)
	}
	if width >= height {
		return long(float64(width) / float64(height)), grayShort
	}
	return grayShort, long(float64(height) / float64(width))
}

// Sizes of the strip.
const (
	stripShort    = 90  // pixels of a picture's short side
	stripPictures = 600 // at most
)

// stripEvery returns how many seconds lie between the strip's pictures: the
// shortest step, of a quarter second and its doublings, that does not make too
// many of them.
func stripEvery(seconds float64) float64 {
	every := 0.25
	for seconds/every > stripPictures {
		every *= 2
	}
	return every
}

// stripSize returns the size of the strip's pictures.
func stripSize(width, height int) (int, int) {
	scale := stripShort / float64(min(width, height))
	even := func(v int) int { return 2 * int(math.Round(float64(v)*scale/2)) }
	return even(width), even(height)
}
