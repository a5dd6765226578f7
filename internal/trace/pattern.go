package trace

import (
	"math"
	"slices"
)

// A pattern is what a film's deliveries have in common: the reel's cells from
// three quarters of a second before to half a second after the moment of most
// motion.
const (
	patternLead  = 22   // the reel's samples before
	patternTail  = 14   // and after
	patternCell  = 0.05 // share of the strongest cell's energy that makes a cell part of the pattern
	patternMost  = 6    // patterns that a film is searched for
	patternApart = 2.0  // real seconds between places
	quietShare   = 0.65 // a place with less than this of the pattern's strength is not made stronger
	placeLeast   = 0.30 // likeness of a place, at least; the film's own threshold is sought
	placeSure    = 0.80 // between these
)

// stretches are the tempos at which a pattern is looked for.
var stretches = [...]float64{0.93, 1, 1.08, 1.16}

// place is where a pattern was found in a reel.
type place struct {
	at       float64 // real seconds
	stretch  float64
	likeness float64
}

type pattern struct {
	cells []int       // indices of the reel's cells
	rows  [][]float32 // at reelRate, row patternLead at the moment
}

// pattern is the mean of the reel at places.
func (r *coarseMotion) pattern(places []place) *pattern {
	const n = patternLead + 1 + patternTail
	mean := make([][]float32, n)
	strength := make([]float64, r.cols*r.rows)
	for j := range mean {
		u := float64(j-patternLead) / reelRate
		mean[j] = make([]float32, r.cols*r.rows)
		for _, p := range places {
			for c, v := range r.cells[r.index(p.at+p.stretch*u)] {
				mean[j][c] += v / float32(len(places))
			}
		}
		for c, v := range mean[j] {
			strength[c] += float64(v * v)
		}
	}
	p := &pattern{rows: make([][]float32, n)}
	least := patternCell * slices.Max(strength)
	for c, v := range strength {
		if v > least {
			p.cells = append(p.cells, c)
		}
	}
	for j := range mean {
		p.rows[j] = pick(mean[j], p.cells)
	}
	return p
}

// stretched returns the pattern's rows at the reel's rate when it is played
// stretch times slower, each cell's mean taken off, their length, and how many
// of them lie before its moment.
func (p *pattern) stretched(stretch float64) (rows [][]float32, length float64, before int) {
	before = int(patternLead * stretch)
	after := int(patternTail * stretch)
	for k := -before; k <= after; k++ {
		at := float64(k)/stretch + patternLead
		i := min(int(at), len(p.rows)-2)
		w := float32(at - float64(i))
		row := make([]float32, len(p.cells))
		for c := range row {
			row[c] = p.rows[i][c] + w*(p.rows[i+1][c]-p.rows[i][c])
		}
		rows = append(rows, row)
	}
	return rows, math.Sqrt(centre(rows)), before
}

// find slides the pattern over the reel and returns the places that stand out.
// Likeness is the correlation, each cell's own mean taken off, but a place that
// is much quieter than the pattern is not made louder.
func (r *coarseMotion) find(p *pattern) []place {
	likeness, stretch := make([]float64, len(r.cells)), make([]float64, len(r.cells))
	film := make([][]float32, len(r.cells))
	for k, cells := range r.cells {
		film[k] = pick(cells, p.cells)
	}
	for _, s := range stretches {
		rows, length, before := p.stretched(s)
		run := newRunning(film, len(rows))
		for first := -before; first < len(film)-before; first++ {
			own := run.next(first)
			if own < 0.25*length {
				continue // hardly anything moves
			}
			var cross float64
			for j := max(first, 0); j < min(first+len(rows), len(film)); j++ {
				cross += float64(dot(rows[j-first], film[j]))
			}
			if c := cross / (length * max(own, quietShare*length)); c > likeness[first+before] {
				likeness[first+before], stretch[first+before] = c, s
			}
		}
	}
	tops := peaks(likeness, patternApart*reelRate)
	values := make([]float64, len(tops))
	for i, k := range tops {
		values[i] = likeness[k]
	}
	least := otsu(values, placeLeast, placeSure)
	var out []place
	for _, k := range tops {
		if likeness[k] > least {
			out = append(out, place{at: r.second(k), stretch: stretch[k], likeness: likeness[k]})
		}
	}
	return out
}

// running keeps the sums of a window of rows that moves over a film.
type running struct {
	film   [][]float32
	size   int
	lo, hi int // the rows that are in the sums
	sums   []float64
	square float64
}

func newRunning(film [][]float32, size int) *running {
	width := 0
	if len(film) > 0 {
		width = len(film[0])
	}
	return &running{film: film, size: size, sums: make([]float64, width)}
}

// next moves the window to begin at row first, which only grows, and returns the
// length of what is in it, each cell's mean taken off.
func (w *running) next(first int) float64 {
	for ; w.hi < min(first+w.size, len(w.film)); w.hi++ {
		w.put(w.film[w.hi], 1)
	}
	for ; w.lo < first; w.lo++ {
		w.put(w.film[w.lo], -1)
	}
	square := w.square
	for _, s := range w.sums {
		square -= s * s / float64(w.hi-w.lo)
	}
	return math.Sqrt(max(square, 0))
}

func (w *running) put(row []float32, sign float64) {
	for c, v := range row {
		x := float64(v)
		w.sums[c] += sign * x
		w.square += sign * x * x
	}
}

// otsu returns the threshold between lo and hi that parts v into the two groups
// with the most variance between them (N. Otsu, IEEE Transactions on Systems,
// Man, and Cybernetics 9, 1979).
func otsu(v []float64, lo, hi float64) float64 {
	best, most := lo, 0.0
	for t := lo; t <= hi+1e-9; t += 0.01 {
		var n, sum [2]float64
		for _, x := range v {
			g := 0
			if x > t {
				g = 1
			}
			n[g]++
			sum[g] += x
		}
		if n[0] == 0 || n[1] == 0 {
			continue
		}
		d := sum[1]/n[1] - sum[0]/n[0]
		if between := n[0] * n[1] * d * d; between > most+1e-12 {
			best, most = t, between
		}
	}
	return best
}
