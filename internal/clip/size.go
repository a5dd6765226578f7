package clip

import (
	"math"

	"tenoff/internal/caption"
)

// A clip lies within 1920x1080, or 1080x1920 when it is higher than wide.
const (
	longSide  = 1920
	shortSide = 1080
	// smallWidth is the width that smaller films are blown up to, so that the
	// letters under them can be read.
	smallWidth = 640
)

// size is a clip's picture and the bar under it.
type size struct {
	width, height int // of one picture
	bar           caption.Bar
}

// fitSize returns the largest size for a picture of the given aspect, no wider
// than want, repeated across times, whose bar (with a chart, if not nil) and picture lie within the limits.
func fitSize(aspect float64, want, across int, cues []caption.Cue, chart *caption.Chart) size {
	maxW, maxH := longSide, shortSide
	if aspect*float64(across) < 1 {
		maxW, maxH = shortSide, longSide
	}
	for w := even(float64(min(max(want, smallWidth/across), maxW/across))); ; w -= 2 {
		h := max(even(float64(w)/aspect), 2)
		bar := caption.BarFor(w*across, h, cues).With(chart)
		if h+bar.Height <= maxH || w <= 16 {
			return size{w, h, bar}
		}
	}
}

func (s Source) aspect() float64 { return float64(s.Width) / float64(s.Height) }

// within returns the largest even size of the source's aspect within w x h.
func (s Source) within(w, h int) (int, int) {
	f := math.Min(float64(w)/float64(s.Width), float64(h)/float64(s.Height))
	return max(min(even(f*float64(s.Width)), w), 2), max(min(even(f*float64(s.Height)), h), 2)
}

// even rounds to the nearest even number.
func even(v float64) int { return 2 * int(math.Round(v/2)) }
