package trace

// frame is one small gray frame, smoothed: every pixel is the sum of the 3 x 3
// gray levels around it, 0 to 2295.
type frame struct {
	at  float64 // file seconds
	pix []uint16
}

// smooth fills to with the 3 x 3 sums of gray, edges repeated; columns is
// scratch of a row's width.
func smooth(to []uint16, gray []byte, width, height int, columns []uint16) {
	for y := range height {
		up := gray[max(y-1, 0)*width:][:width]
		here := gray[y*width:][:width]
		down := gray[min(y+1, height-1)*width:][:width]
		columns = columns[:width]
		for x := range columns {
			columns[x] = uint16(up[x]) + uint16(here[x]) + uint16(down[x])
		}
		row := to[y*width:][:width]
		left, middle := columns[0], columns[0]
		for x := 1; x < len(columns); x++ {
			right := columns[x]
			row[x-1] = left + middle + right
			left, middle = middle, right
		}
		row[width-1] = left + middle + middle
	}
}

// likeness is the mean difference of two frames in ninths of a gray level, over
// every second pixel of every second row.
func likeness(a, b []uint16, width, height int) float32 {
	sum, n := 0, 0
	for y := 0; y < height; y += 2 {
		ra, rb := a[y*width:][:width], b[y*width:][:width]
		for x := 0; x < width; x += 2 {
			d := int(ra[x]) - int(rb[x])
			sum += max(d, -d)
			n++
		}
	}
	return float32(sum) / float32(n)
}
