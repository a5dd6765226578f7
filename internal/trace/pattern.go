package trace

import (
	"cmp"
	"math"
	"slices"
)

// A pattern is what a film's deliveries have in common: the reel's cells from
// three quarters of a second before to half a second after the moment of most
// motion.
const (
	patternLead  = 22   // the reel's samples before
	patternTail  = 14   // and after
	kinShift     = 12   // samples that two bursts are slid against each other
	kinStep      = 2    // samples
	kinLeast     = 0.55 // cosine of two bursts that may be alike
	kinShare     = 0.80 // of the best burst's likeness to its kin
	patternCell  = 0.05 // share of the strongest cell's energy that makes a cell part of the pattern
	patternApart = 2.0  // real seconds between places
	quietShare   = 0.65 // a place with less than this of the pattern's strength is not made stronger
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

// sample returns the reel's cells at real second s, the nearest sample.
func (r *reel) sample(s float64) []float32 {
	k := int(math.Round((s - r.start) * reelRate))
	return r.cells[min(max(k, 0), len(r.cells)-1)]
}

// learn makes the first pattern from bursts: the burst that has the most kin and
// those kin, laid over it. It is nil when no two bursts are alike.
func (r *reel) learn(bursts []int) *pattern {
	bursts = thin(bursts, burstMost)
	n := len(bursts)
	if n < 2 {
		return nil
	}
	like := make([][]float64, n)
	shift := make([][]int, n)
	for i := range n {
		like[i], shift[i] = make([]float64, n), make([]int, n)
	}
	for i := range n {
		for j := i + 1; j < n; j++ {
			like[i][j], shift[i][j] = r.kinship(bursts[i], bursts[j])
			like[j][i], shift[j][i] = like[i][j], -shift[i][j]
		}
	}
	k := min(max(n/3, 3), 8, n-1)
	best, bestMean := 0, 0.0
	for i := range n {
		others := slices.Clone(like[i])
		slices.SortFunc(others, func(a, b float64) int { return cmp.Compare(b, a) })
		mean := 0.0
		for _, v := range others[:k] {
			mean += v / float64(k)
		}
		if mean > bestMean {
			best, bestMean = i, mean
		}
	}
	least := max(kinLeast, kinShare*bestMean)
	places := []place{{at: r.second(bursts[best]), stretch: 1}}
	for j := range n {
		if j != best && like[best][j] > least {
			places = append(places, place{at: r.second(bursts[j] + shift[best][j]), stretch: 1})
		}
	}
	if len(places) < 2 {
		return nil
	}
	return r.pattern(places)
}

// kinship returns the cosine of the motion round samples a and b at the best
// shift, and that shift of b in samples.
func (r *reel) kinship(a, b int) (like float64, shift int) {
	const every = 2
	for d := -kinShift; d <= kinShift; d += kinStep {
		var ab, aa, bb float64
		for k := -patternLead; k <= patternTail; k += every {
			i, j := a+k, b+d+k
			if i < 0 || j < 0 || i >= len(r.cells) || j >= len(r.cells) {
				continue
			}
			x, y, z := dots(r.cells[i], r.cells[j])
			ab, aa, bb = ab+float64(x), aa+float64(y), bb+float64(z)
		}
		if aa == 0 || bb == 0 {
			continue
		}
		if c := ab / math.Sqrt(aa*bb); c > like {
			like, shift = c, d
		}
	}
	return like, shift
}

// dots returns a.b, a.a and b.b.
func dots(a, b []float32) (ab, aa, bb float32) {
	b = b[:len(a)]
	for i, v := range a {
		w := b[i]
		ab += v * w
		aa += v * v
		bb += w * w
	}
	return ab, aa, bb
}

// pattern is the mean of the reel at places.
func (r *reel) pattern(places []place) *pattern {
	const n = patternLead + 1 + patternTail
	mean := make([][]float32, n)
	strength := make([]float64, r.cols*r.rows)
	for j := range mean {
		u := float64(j-patternLead) / reelRate
		mean[j] = make([]float32, r.cols*r.rows)
		for _, p := range places {
			for c, v := range r.sample(p.at + p.stretch*u) {
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
		for _, c := range p.cells {
			p.rows[j] = append(p.rows[j], mean[j][c])
		}
	}
	return p
}

// stretched returns the pattern's rows at the reel's rate when it is played
// stretch times slower, and how many of them lie before its moment 0.
func (p *pattern) stretched(stretch float64) (rows [][]float32, before int) {
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
	return rows, before
}

// find slides the pattern over the reel and returns the places that stand out.
func (r *reel) find(p *pattern) []place {
	n := len(r.cells)
	likeness := make([]float64, n)
	stretch := make([]float64, n)
	// The reel's cells of the pattern, side by side.
	width := len(p.cells)
	film := make([]float32, n*width)
	square := make([]float64, n+1) // running sum of squares
	for k, cells := range r.cells {
		sum := 0.0
		for i, c := range p.cells {
			v := cells[c]
			film[k*width+i] = v
			sum += float64(v * v)
		}
		square[k+1] = square[k] + sum
	}
	for _, s := range stretches {
		rows, before := p.stretched(s)
		norm := 0.0
		for _, row := range rows {
			_, aa, _ := dots(row, row)
			norm += float64(aa)
		}
		norm = math.Sqrt(norm)
		for k := range n {
			first := k - before
			lo, hi := max(first, 0), min(first+len(rows), n)
			own := math.Sqrt(square[hi] - square[lo])
			if own < quietShare*norm*0.5 {
				continue // can't reach a likeness of 0.5 of what counts
			}
			var cross float64
			for j := lo; j < hi; j++ {
				row := rows[j-first]
				var sum float32
				for i, v := range film[j*width:][:len(row)] {
					sum += v * row[i]
				}
				cross += float64(sum)
			}
			if c := cross / (norm * max(own, quietShare*norm)); c > likeness[k] {
				likeness[k], stretch[k] = c, s
			}
		}
	}
	tops := peaks(likeness, patternApart*reelRate)
	values := make([]float64, len(tops))
	for i, k := range tops {
		values[i] = likeness[k]
	}
	least := otsu(values, 0.40, 0.90)
	var out []place
	for _, k := range tops {
		if likeness[k] > least {
			out = append(out, place{at: r.second(k), stretch: stretch[k], likeness: likeness[k]})
		}
	}
	return out
}

// otsu returns the threshold between lo and hi that parts v into the two groups
// with the most variance between them (N. Otsu, IEEE Transactions on Systems,
// Man, and Cybernetics 9, 1979).
func otsu(v []float64, lo, hi float64) float64 {
	best, most := lo, 0.0
	for t := lo; t <= hi+1e-9; t += 0.01 {
		var n [2]float64
		var sum [2]float64
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
