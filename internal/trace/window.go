package trace

import (
	"math"

	"tenoff/internal/align"
)

// The windows in which deliveries are laid over one another.
const (
	windowRate   = 120   // samples per real second
	windowBefore = 1.10  // real seconds before the guess
	windowAfter  = 0.60  // and after it
	windowBlur   = 0.012 // real seconds, Gaussian
	stillPath    = 0.04  // gray pixels: less movement of the camera in a sample is none
)

// strip is the film's own samples round a guess, the camera's movement since the
// guess taken out.
type strip struct {
	times []float64   // real seconds from the guess
	cells [][]float32 // square roots of energy, as the camera stood at the guess
}

// strip cuts the samples round real second guess out of the film and moves their
// cells by (dx, dy) besides.
func (m *Motion) strip(guess, dx, dy float64) strip {
	lo, hi := m.At((guess-windowBefore)*m.Slow), m.At((guess+windowAfter)*m.Slow)
	middle := m.At(guess * m.Slow)
	s := strip{times: make([]float64, hi-lo+1), cells: make([][]float32, hi-lo+1)}
	put := func(i int, x, y float64) {
		cells := m.Cells(i, nil)
		s.times[i-lo] = m.Times[i]/m.Slow - guess
		s.cells[i-lo] = align.Moved(cells, m.Cols, m.Rows, dx+x/cellSide, dy+y/cellSide)
	}
	put(middle, 0, 0)
	x, y := 0.0, 0.0
	for i := middle + 1; i <= hi; i++ {
		stepX, stepY := m.scene(i)
		x, y = x+stepX, y+stepY
		put(i, x, y)
	}
	x, y = 0, 0
	for i := middle; i > lo; i-- {
		stepX, stepY := m.scene(i)
		x, y = x-stepX, y-stepY
		put(i-1, x, y)
	}
	return s
}

// scene returns how far the scene moved in the picture from sample i-1 to i, in
// gray pixels.
func (m *Motion) scene(i int) (x, y float64) {
	s := m.Shifts[i]
	if s.Lag <= 0 {
		return 0, 0
	}
	share := (m.Times[i] - m.Times[i-1]) / float64(s.Lag)
	if abs32(s.X) >= stillPath {
		x = -float64(s.X) * share
	}
	if abs32(s.Y) >= stillPath {
		y = -float64(s.Y) * share
	}
	return x, y
}

// image is where the delivery's motion lies: the square root of each cell's
// energy, summed from shortly before the drive to shortly after the release.
func (s strip) image() []float32 {
	var out []float32
	for i, cells := range s.cells {
		if out == nil {
			out = make([]float32, len(cells))
		}
		if s.times[i] < -0.55 || s.times[i] > 0.20 {
			continue
		}
		for c, v := range cells {
			out[c] += v * v
		}
	}
	for c, v := range out {
		out[c] = float32(math.Sqrt(float64(v)))
	}
	return out
}

// window is a delivery's motion at an even rate: rows of the listed cells from
// -windowBefore to windowAfter about the guess.
type window struct {
	guess float64
	rows  [][]float32
}

// even brings the strip to the even rate, blurred in the picture and in time,
// and keeps the listed cells.
func (s strip) even(guess float64, list []int, cols, rows int) window {
	n := int((windowBefore+windowAfter)*windowRate) + 1
	kept := make([][]float32, len(s.cells))
	for i, cells := range s.cells {
		soft := softened(cells, cols, rows)
		kept[i] = make([]float32, len(list))
		for k, c := range list {
			kept[i][k] = soft[c]
		}
	}
	w := window{guess: guess, rows: make([][]float32, n)}
	at := 0
	for k := range w.rows {
		t := float64(k)/windowRate - windowBefore
		for at+2 < len(s.times) && s.times[at+1] <= t {
			at++
		}
		w.rows[k] = make([]float32, len(list))
		if len(kept) == 1 {
			copy(w.rows[k], kept[0])
			continue
		}
		a := float32(min(max((t-s.times[at])/(s.times[at+1]-s.times[at]), 0), 1))
		for i, v := range kept[at] {
			w.rows[k][i] = v + a*(kept[at+1][i]-v)
		}
	}
	smearRows(w.rows, windowBlur*windowRate)
	return w
}

// softened blurs cells by 1/4 1/2 1/4 across and down, edges repeated.
func softened(cells []float32, cols, rows int) []float32 {
	across, out := make([]float32, len(cells)), make([]float32, len(cells))
	for r := range rows {
		row, to := cells[r*cols:][:cols], across[r*cols:][:cols]
		for c, v := range row {
			to[c] = row[max(c-1, 0)]/4 + v/2 + row[min(c+1, cols-1)]/4
		}
	}
	for r := range rows {
		up, down := across[max(r-1, 0)*cols:][:cols], across[min(r+1, rows-1)*cols:][:cols]
		here, to := across[r*cols:][:cols], out[r*cols:][:cols]
		for c, v := range here {
			to[c] = up[c]/4 + v/2 + down[c]/4
		}
	}
	return out
}

// smearRows smooths every cell over time by a Gaussian of sigma rows.
func smearRows(rows [][]float32, sigma float64) {
	kernel := gauss(sigma)
	reach := len(kernel) / 2
	old := make([][]float32, len(rows))
	for i, row := range rows {
		old[i] = append([]float32(nil), row...)
	}
	for i, row := range rows {
		clear(row)
		for k, w := range kernel {
			w32 := float32(w)
			for c, v := range old[min(max(i+k-reach, 0), len(old)-1)] {
				row[c] += w32 * v
			}
		}
	}
}

// at writes the window's cells at t real seconds from the guess into out.
func (w window) at(t float64, out []float32) {
	p := min(max((t+windowBefore)*windowRate, 0), float64(len(w.rows)-1))
	i := min(int(p), len(w.rows)-2)
	a := float32(p - float64(i))
	next := w.rows[i+1]
	for c, v := range w.rows[i] {
		out[c] = v + a*(next[c]-v)
	}
}
