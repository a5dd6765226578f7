package paint

// Canvas is one picture. U and V are nil in a gray one.
type Canvas struct {
	W, H    int // even
	Y, U, V []byte
	all     []byte
}

// NewCanvas returns a black canvas.
func NewCanvas(w, h int, gray bool) *Canvas {
	c := &Canvas{W: w, H: h}
	n := w * h
	if gray {
		c.all = make([]byte, n)
		c.Y = c.all
		return c
	}
	c.all = make([]byte, n+n/2)
	c.Y, c.U, c.V = c.all[:n:n], c.all[n:n+n/4:n+n/4], c.all[n+n/4:]
	return c
}

// Bytes returns the planes one after the other, as yuv420p (or gray) video has
// them. It is valid until the canvas is drawn on again.
func (c *Canvas) Bytes() []byte { return c.all }

// rect is a half-open box of pixels.
type rect struct{ x0, y0, x1, y1 int }

func (r rect) clip(w, h int) rect {
	return rect{max(r.x0, 0), max(r.y0, 0), min(r.x1, w), min(r.y1, h)}
}

func (r rect) empty() bool { return r.x0 >= r.x1 || r.y0 >= r.y1 }

func (r rect) union(o rect) rect {
	if r.empty() {
		return o
	}
	if o.empty() {
		return r
	}
	return rect{min(r.x0, o.x0), min(r.y0, o.y0), max(r.x1, o.x1), max(r.y1, o.y1)}
}

// even widens r to even pixels, so that chroma covers it.
func (r rect) even() rect { return rect{r.x0 &^ 1, r.y0 &^ 1, (r.x1 + 1) &^ 1, (r.y1 + 1) &^ 1} }

func (r rect) half() rect { return rect{r.x0 / 2, r.y0 / 2, r.x1 / 2, r.y1 / 2} }

// plane is one component of a canvas.
type plane struct {
	pix  []byte
	w, h int
}

func (c *Canvas) planes() []plane {
	if c.U == nil {
		return []plane{{c.Y, c.W, c.H}}
	}
	return []plane{{c.Y, c.W, c.H}, {c.U, c.W / 2, c.H / 2}, {c.V, c.W / 2, c.H / 2}}
}

// copyBox copies a box of src, of the same size and kind.
func (c *Canvas) copyBox(src *Canvas, r rect) {
	from := src.planes()
	for i, p := range c.planes() {
		b := r
		if i > 0 {
			b = r.half()
		}
		for y := b.y0; y < b.y1; y++ {
			copy(p.pix[y*p.w+b.x0:y*p.w+b.x1], from[i].pix[y*p.w+b.x0:y*p.w+b.x1])
		}
	}
}
