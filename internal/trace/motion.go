package trace

import (
	"math"
	"sort"
)

// cellSide is the side of a cell in gray pixels.
const cellSide = 5

// cellSteps is how many stored steps one unit of a cell's value has.
const cellSteps = 16

// Motion is what moved in a film: for each of its samples the energy of motion
// in every cell of the picture, with the camera's own movement taken out.
//
// A sample stands for the difference between two frames about 33 ms of real time
// apart, whatever the frame rate, so that films of all rates look alike; there
// are at most about 60 samples per real second.
type Motion struct {
	Cols, Rows int       // cells across and down: 32 x 18 for 16:9, 18 x 32 upright
	Slow       float64   // how many times slower than life the film was taken to play
	Times      []float64 // of each sample: the middle of its two frames, in file seconds, rising
	Shifts     []Shift   // of each sample: how the camera moved over its lag
	Doubled    []bool    // of each sample: measured on a repeated frame and mended from its neighbours
	End        float64   // file seconds of the last frame
	// Said is true where the film itself or somebody said Slow, and false where it is
	// only what most films are. It is not stored.
	Said bool
	// outOfStep is true where frames are repeated in no step: nobody knows what was left
	// out at them.
	outOfStep bool

	packed []byte // every sample's cells, run-coded
	inside []bool // which cells are looked at; nil for all
	ends   []int  // where each sample's cells end in packed
}

// Shift is the camera's movement between a sample's two frames: a point at
// (x, y) from the picture's middle, in gray pixels, came from
// (x + X + S x - R y, y + Y + R x + S y).
type Shift struct {
	X, Y float32 // gray pixels
	S    float32 // scale, 0 is none
	R    float32 // turn, radians
	Lag  float32 // file seconds between the two frames
}

// Len returns the number of samples.
func (m *Motion) Len() int { return len(m.Times) }

// Cells writes sample i's cells, row by row, into into and returns it, or a new
// slice if into is too short. A cell's value is the square root of the summed
// gray-level differences in its 5 x 5 pixels, 0 to about 76.
func (m *Motion) Cells(i int, into []float32) []float32 {
	n := m.Cols * m.Rows
	if cap(into) < n {
		into = make([]float32, n)
	}
	into = into[:n]
	start := 0
	if i > 0 {
		start = m.ends[i-1]
	}
	unpack(m.packed[start:m.ends[i]], into)
	for k := range m.inside {
		if !m.inside[k] {
			into[k] = 0
		}
	}
	return into
}

// Energy returns each sample's total energy: the sum over its cells of the
// squared value, in gray levels times pixels.
func (m *Motion) Energy() []float64 {
	out := make([]float64, m.Len())
	var cells []float32
	for i := range out {
		cells = m.Cells(i, cells)
		var sum float32
		for _, v := range cells {
			sum += v * v
		}
		out[i] = float64(sum)
	}
	return out
}

// DoubledShare returns the share of the moving samples that were measured on
// repeated frames. Above 0.02 the file was re-timed after it was filmed, and the
// phone's original is worth asking for.
func (m *Motion) DoubledShare() float64 {
	if m.Len() == 0 {
		return 0
	}
	n := 0
	for _, d := range m.Doubled {
		if d {
			n++
		}
	}
	return float64(n) / float64(m.Len())
}

// Envelope returns points pairs of the least and the greatest motion, as the
// square root of the energy scaled so that 1 is the film's greatest, over equal
// spans of [0, seconds] of the file, for drawing.
func (m *Motion) Envelope(seconds float64, points int) [][2]float32 {
	energy := m.Energy()
	values := make([]float32, len(energy))
	for i, e := range energy {
		values[i] = float32(math.Sqrt(e))
	}
	return decimate(m.Times, values, seconds, points)
}

// At returns the index of the sample nearest to file time s, 0 for no samples.
func (m *Motion) At(s float64) int {
	i := sort.SearchFloat64s(m.Times, s)
	if i == len(m.Times) {
		return max(i-1, 0)
	}
	if i > 0 && s-m.Times[i-1] < m.Times[i]-s {
		return i - 1
	}
	return i
}

// decimate returns the least and greatest value, over the greatest of all, in
// each of points equal spans of [0, seconds]. A span without a value repeats the
// last one.
func decimate(times []float64, values []float32, seconds float64, points int) [][2]float32 {
	if points <= 0 || seconds <= 0 {
		return nil
	}
	out := make([][2]float32, points)
	seen := make([]bool, points)
	var top float32
	for i, t := range times {
		k := min(max(int(t/seconds*float64(points)), 0), points-1)
		v := values[i]
		if !seen[k] {
			out[k], seen[k] = [2]float32{v, v}, true
		}
		out[k][0], out[k][1] = min(out[k][0], v), max(out[k][1], v)
		top = max(top, v)
	}
	var last float32
	for k := range out {
		if !seen[k] {
			out[k] = [2]float32{last, last}
		}
		last = out[k][1]
		if !seen[k] {
			last = out[k][0]
		}
	}
	if top > 0 {
		for k := range out {
			out[k][0] /= top
			out[k][1] /= top
		}
	}
	return out
}
