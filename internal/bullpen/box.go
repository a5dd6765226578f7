package bullpen

import "math"

// Box is a part of a picture, in shares of its width and height, 0 to 1 from the
// top left corner. The zero Box is none.
type Box struct {
	X      float64 `json:"x"`
	Y      float64 `json:"y"`
	Width  float64 `json:"width"`
	Height float64 `json:"height"`
}

// boxLeast is the least width and height of a box that somebody draws: a pitcher
// who is smaller in the picture can't be told from her catcher.
const boxLeast = 0.05

// None reports whether b is no box.
func (b Box) None() bool { return b == Box{} }

// Check refuses, with code Invalid, a box that does not lie in the picture or is
// too small to hold a pitcher.
func (b Box) Check() error {
	for _, v := range []float64{b.X, b.Y, b.Width, b.Height} {
		if math.IsNaN(v) || v < 0 {
			return Errorf(Invalid, "The pitcher's box must lie inside the picture.")
		}
	}
	const hair = 1e-6
	if b.X+b.Width > 1+hair || b.Y+b.Height > 1+hair {
		return Errorf(Invalid, "The pitcher's box must lie inside the picture.")
	}
	if b.Width < boxLeast || b.Height < boxLeast {
		return Errorf(Invalid, "The pitcher's box must be at least %.0f %% of the picture wide and high.", 100*boxLeast)
	}
	return nil
}
