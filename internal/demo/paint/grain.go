package paint

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// Grain is a camera's noise.
type Grain struct {
	luma, chroma []byte // noise + bias
	bias         int
	seed         uint64
}

const (
	grains = 1 << 16
	run    = 512 // noise is taken from the table in runs of this length, a multiple of 8
)

// NewGrain returns noise of the given standard deviation, in 8-bit levels; it is
// cut at four of them.
func NewGrain(sd float64, seed uint64) *Grain {
	g := &Grain{luma: make([]byte, grains), chroma: make([]byte, grains), seed: seed}
	g.bias = min(max(16, int(math.Ceil(4*sd))), 120)
	d := rand.New(rand.NewPCG(seed, 1))
	for i := range g.luma {
		g.luma[i] = byte(g.bias + g.throw(sd, d))
		g.chroma[i] = byte(g.bias + g.throw(sd/2, d))
	}
	return g
}

// throw returns a whole number whose mean deviation is right even where sd is
// below one.
func (g *Grain) throw(sd float64, d *rand.Rand) int {
	v := d.NormFloat64() * sd
	n := int(math.Floor(v))
	if d.Float64() < v-math.Floor(v) {
		n++
	}
	return min(max(n, -g.bias), g.bias)
}

// add puts frame n's noise on a canvas, and a gain on its brightness.
func (g *Grain) add(c *Canvas, n int, gain float64) {
	d := rand.New(rand.NewPCG(g.seed, uint64(n)+2))
	if gain != 1 {
		brighten(c.Y, gain)
	}
	for i, p := range c.planes() {
		table := g.luma
		if i > 0 {
			table = g.chroma
		}
		for y := range p.h {
			line := p.pix[y*p.w : (y+1)*p.w]
			for len(line) > 0 {
				o := int(d.Uint64() % (grains - run))
				part := line[:min(run, len(line))]
				g.sum(part, table[o:o+len(part)])
				line = line[len(part):]
			}
		}
	}
}

func brighten(pix []byte, gain float64) {
	k := int(gain * 256)
	for x, v := range pix {
		pix[x] = byte(min(16+(int(v)-16)*k>>8, 235))
	}
}

// sum adds noise to pixels. Pixels lie in 16..235, so that with a bias of 16 a
// pixel less 16, plus biased noise, stays within its byte: eight are added at once.
func (g *Grain) sum(pix, noise []byte) {
	if g.bias == 16 {
		for len(pix) >= 8 && len(noise) >= 8 {
			v := binary.LittleEndian.Uint64(pix) - 0x1010101010101010
			binary.LittleEndian.PutUint64(pix, v+binary.LittleEndian.Uint64(noise))
			pix, noise = pix[8:], noise[8:]
		}
	}
	for i, v := range pix {
		pix[i] = byte(min(max(int(v)+int(noise[i])-g.bias, 0), 251))
	}
}
