package paint

// Frame numbers are burnt in as two rows of 16 square cells in the top left
// corner, each a 48th of the picture's width: the number's bits, the lowest at
// the left, white for one; under them their complement. Scaling does not harm it.
const (
	numberBits  = 16
	numberCells = 48
	black       = 16
	white       = 235
)

// stamp burns a number into the picture.
func stamp(c *Canvas, number int) {
	for i, p := range c.planes() {
		edge := func(cell int) int { return (cell*p.w + numberCells/2) / numberCells }
		for row := range 2 {
			for y := edge(row); y < edge(row+1); y++ {
				for bit := range numberBits {
					v := byte(128)
					if i == 0 {
						v = black
						if (number>>bit&1 == 1) == (row == 0) {
							v = white
						}
					}
					for x := edge(bit); x < edge(bit+1); x++ {
						p.pix[y*p.w+x] = v
					}
				}
			}
		}
	}
}

// ReadNumber reads the number burnt into a gray picture of w by h pixels. ok is
// false unless every bit and its complement differ clearly.
func ReadNumber(gray []byte, w, h int) (number int, ok bool) {
	cell := float64(w) / numberCells
	if cell < 1 || 2*cell > float64(h) || len(gray) < w*h {
		return 0, false
	}
	// The middle half of a cell, at least one pixel.
	mean := func(column, row int) int {
		from := func(i int) int { return int(float64(i)*cell + cell/4) }
		to := func(i int) int { return max(from(i)+1, int(float64(i)*cell+cell*3/4)) }
		sum, n := 0, 0
		for y := from(row); y < to(row); y++ {
			for x := from(column); x < to(column); x++ {
				sum, n = sum+int(gray[y*w+x]), n+1
			}
		}
		return sum / n
	}
	for bit := range numberBits {
		one, other := mean(bit, 0), mean(bit, 1)
		switch {
		case one-other > 60:
			number |= 1 << bit
		case other-one <= 60:
			return 0, false
		}
	}
	return number, true
}
