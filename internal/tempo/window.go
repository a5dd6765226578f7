package tempo

import (
	"math"
	"slices"

	"tenoff/internal/align"
	"tenoff/internal/trace"
)

// The window round a rep's release guess, and the rate its cells are brought to.
const (
	before  = 1.50  // real seconds
	after   = 0.45  // real seconds
	rate    = 240.0 // samples per real second
	blurSec = 0.012 // Gaussian blur in time, real seconds
	// still is the camera movement in gray pixels below which it counts as none.
	still = 0.04
	// cellPixels is the side of a cell in gray pixels.
	cellPixels = 5.0
)

// window is the motion round one rep: frames of cells at an even rate, the
// camera's movement since the guess taken out.
type window struct {
	cols, rows int
	guess      float64     // real seconds
	start      float64     // real seconds of cells[0]
	cells      [][]float32 // [time][row*cols+col], square root of energy
	zoom       float64     // largest change of scale within the window, log
	doubled    int         // samples that were mended
	mended     []float64   // real seconds of those of a film whose repeats keep no step
	samples    int
}

// raw is the film's own samples inside the window, before they are placed.
type raw struct {
	window
	times []float64
}

// cut takes the samples round a guess (real seconds) out of a film's motion and
// undoes the camera's path, cumulated from the sample nearest the guess. regular is
// false for a film that repeats its frames out of step.
func cut(m *trace.Motion, guess float64, regular bool) raw {
	slow := m.SlowFactor()
	r := raw{window: window{cols: m.Cols, rows: m.Rows, guess: guess}}
	lo, hi := m.At((guess-before)*slow), m.At((guess+after)*slow)
	if m.Len() == 0 || hi <= lo {
		return r
	}
	middle := min(max(m.At(guess*slow), lo), hi)
	x, y, zoom := path(m, lo, hi, middle)
	r.zoom = zoom
	for i := lo; i <= hi; i++ {
		if m.Doubled[i] {
			r.doubled++
			if !regular {
				r.mended = append(r.mended, m.Times[i]/slow)
			}
		}
		r.samples++
		r.times = append(r.times, m.Times[i]/slow)
		r.cells = append(r.cells, align.Moved(m.Cells(i, nil), r.cols, r.rows, x[i-lo]/cellPixels, y[i-lo]/cellPixels))
	}
	return r
}

// path returns where the scene stands in samples lo..hi relative to sample
// middle, in gray pixels, and the largest change of scale.
func path(m *trace.Motion, lo, hi, middle int) (x, y []float64, zoom float64) {
	n := hi - lo + 1
	x, y = make([]float64, n), make([]float64, n)
	scale := make([]float64, n)
	edge := cellPixels * float64(max(m.Cols, m.Rows)) / 2 // gray pixels from the middle
	step := func(i int) (dx, dy, ds float64) {            // from sample i-1 to i
		s := m.Shifts[i]
		if s.Lag <= 0 {
			return 0, 0, 0
		}
		share := (m.Times[i] - m.Times[i-1]) / float64(s.Lag)
		dx, dy = -float64(s.X), -float64(s.Y)
		if math.Abs(dx) < still {
			dx = 0
		}
		if math.Abs(dy) < still {
			dy = 0
		}
		ds = -float64(s.S)
		if math.Abs(ds)*edge < still {
			ds = 0
		}
		return dx * share, dy * share, ds * share
	}
	for i := middle + 1; i <= hi; i++ {
		dx, dy, ds := step(i)
		x[i-lo], y[i-lo], scale[i-lo] = x[i-lo-1]+dx, y[i-lo-1]+dy, scale[i-lo-1]+ds
	}
	for i := middle; i > lo; i-- {
		dx, dy, ds := step(i)
		x[i-lo-1], y[i-lo-1], scale[i-lo-1] = x[i-lo]-dx, y[i-lo]-dy, scale[i-lo]-ds
	}
	return x, y, zoomOf(scale)
}

// zoomOf returns the largest change along a path of scale, less what errors of the single
// steps add up to: a lens that zooms goes on for many steps, the errors of a hand that
// shakes go to and fro.
func zoomOf(scale []float64) float64 {
	const sure = 3 // standard deviations
	steps := make([]float64, 0, len(scale))
	for i := 1; i < len(scale); i++ {
		steps = append(steps, scale[i]-scale[i-1])
	}
	if len(steps) == 0 {
		return 0
	}
	usual := median(steps)
	for i := range steps {
		steps[i] = math.Abs(steps[i] - usual)
	}
	errors := sure * 1.4826 * median(steps) * math.Sqrt(float64(len(steps)))
	return math.Max(slices.Max(scale)-slices.Min(scale)-errors, 0)
}

func median(v []float64) float64 {
	s := slices.Sorted(slices.Values(v))
	return s[len(s)/2]
}

// even moves every sample by (dx, dy) cells, blurs the cells in the picture and
// in time, and brings them to the even rate.
func (r raw) even(dx, dy float64) window {
	w := r.window
	w.start = w.guess - before
	n := int((before+after)*rate) + 1
	w.cells = make([][]float32, n)
	placed := make([][]float32, len(r.cells))
	for i, cells := range r.cells {
		placed[i] = blurred(align.Moved(cells, r.cols, r.rows, dx, dy), r.cols, r.rows)
	}
	j := 0
	for k := range w.cells {
		t := w.start + float64(k)/rate
		for j+2 < len(r.times) && r.times[j+1] < t {
			j++
		}
		w.cells[k] = mixed(placed, r.times, j, t)
	}
	blurTime(w.cells, blurSec*rate)
	return w
}

func mixed(cells [][]float32, times []float64, j int, t float64) []float32 {
	if len(cells) == 0 {
		return nil
	}
	out := make([]float32, len(cells[0]))
	if len(cells) == 1 {
		copy(out, cells[0])
		return out
	}
	a := float32(math.Min(math.Max((t-times[j])/(times[j+1]-times[j]), 0), 1))
	for i := range out {
		out[i] = cells[j][i]*(1-a) + cells[j+1][i]*a
	}
	return out
}

// blurred smooths cells by 1/4 1/2 1/4 along rows and columns.
func blurred(cells []float32, cols, rows int) []float32 {
	across := make([]float32, len(cells))
	for r := range rows {
		row := cells[r*cols : (r+1)*cols]
		for c := range cols {
			across[r*cols+c] = row[max(c-1, 0)]/4 + row[c]/2 + row[min(c+1, cols-1)]/4
		}
	}
	out := make([]float32, len(cells))
	for r := range rows {
		up, down := max(r-1, 0)*cols, min(r+1, rows-1)*cols
		for c := range cols {
			out[r*cols+c] = across[up+c]/4 + across[r*cols+c]/2 + across[down+c]/4
		}
	}
	return out
}

// blurTime smooths each cell over time by a Gaussian of sigma samples.
func blurTime(cells [][]float32, sigma float64) {
	reach := int(math.Ceil(3 * sigma))
	kernel := make([]float32, 2*reach+1)
	var sum float32
	for i := range kernel {
		d := float64(i - reach)
		kernel[i] = float32(math.Exp(-d * d / (2 * sigma * sigma)))
		sum += kernel[i]
	}
	out := make([][]float32, len(cells))
	for k := range cells {
		out[k] = make([]float32, len(cells[k]))
		for i, w := range kernel {
			w /= sum
			from := cells[min(max(k+i-reach, 0), len(cells)-1)]
			for c, v := range from {
				out[k][c] += w * v
			}
		}
	}
	copy(cells, out)
}
