package paint

import "math/rand/v2"

// Grain is a camera's noise.
type Grain struct {
	table  []int8
	chroma []int8
	seed   uint64
}

const grains = 1 << 16

// NewGrain returns noise of the given standard deviation, in 8-bit levels.
func NewGrain(sd float64, seed uint64) *Grain {
	g := &Grain{table: make([]int8, grains), chroma: make([]int8, grains), seed: seed}
	d := rand.New(rand.NewPCG(seed, 1))
	// Rounding adds 1/12; dithering the table keeps small noise small.
	for i := range g.table {
		g.table[i] = dither(d.NormFloat64()*sd, d)
		g.chroma[i] = dither(d.NormFloat64()*sd*.5, d)
	}
	return g
}

func dither(v float64, d *rand.Rand) int8 {
	v = min(max(v, -120), 120)
	f := int(v)
	if v < 0 {
		f--
	}
	if d.Float64() < v-float64(f) {
		f++
	}
	return int8(f)
}

// add puts frame n's noise on a canvas, and a gain on its brightness.
func (g *Grain) add(c *Canvas, n int, gain float64) {
	d := rand.New(rand.NewPCG(g.seed, uint64(n)+2))
	for i, p := range c.planes() {
		table := g.table
		if i > 0 {
			table = g.chroma
		}
		for y := range p.h {
			line := p.pix[y*p.w : (y+1)*p.w]
			if i == 0 && gain != 1 {
				k := int(gain * 256)
				for x, v := range line {
					line[x] = byte(min(16+(max(int(v), 16)-16)*k>>8, 235))
				}
			}
			for x := 0; x < p.w; {
				o := int(d.Uint64() % (grains - 512))
				n := min(512, p.w-x)
				part, noise := line[x:x+n], table[o:o+n]
				for j, v := range part {
					part[j] = byte(min(max(int(v)+int(noise[j]), 16), 235))
				}
				x += n
			}
		}
	}
}
