package trace

import "math"

// differ turns two frames into cells.
type frameDifference struct {
	width, height int
	diff          []uint16 // per pixel, ninths of a gray level
	cell          []float32
}

func newDiffer(width, height int) *frameDifference {
	return &frameDifference{
		width: width, height: height,
		diff: make([]uint16, width*height),
		cell: make([]float32, (width/cellSide)*(height/cellSide)),
	}
}

// still is the camera movement, in gray pixels at the picture's corners, that
// is not worth straightening.
const still = 0.03

// cells returns the square roots of the cells' energies: the sums of what the
// difference of the two frames, the camera's movement taken out, exceeds the
// noise by. The noise is taken from the median difference of the whole picture.
// The result is overwritten by the next call.
func (d *frameDifference) cells(now, then []uint16, p Shift) []float32 {
	reach := float32(d.width+d.height) / 2
	if abs32(p.X)+abs32(p.Y)+reach*(abs32(p.S)+abs32(p.R)) < still {
		for i, v := range now {
			e := int(v) - int(then[i])
			d.diff[i] = uint16(max(e, -e))
		}
	} else {
		d.straighten(now, then, p)
	}
	d.sum(d.noise())
	return d.cell
}

// straighten fills diff with |now - then moved by p|; 0 where then has no pixel.
// Positions run in 1/65536, weights in 1/256 of a pixel.
func (d *frameDifference) straighten(now, then []uint16, p Shift) {
	const one = 1 << 16
	w, h := d.width, d.height
	cx, cy := float64(w-1)/2, float64(h-1)/2
	dx, dy := int64((1+float64(p.S))*one), int64(float64(p.R)*one)
	limitX, limitY := int64(w-1)*one, int64(h-1)*one
	for y := range h {
		yc := float64(y) - cy
		x0 := int64((float64(p.X) + cx + (1+float64(p.S))*-cx - float64(p.R)*yc) * one)
		y0 := int64((float64(p.Y) + cy + float64(p.R)*-cx + (1+float64(p.S))*yc) * one)
		row, out := now[y*w:][:w], d.diff[y*w:][:w]
		for x := range row {
			if x0 < 0 || y0 < 0 || x0 >= limitX || y0 >= limitY {
				out[x] = 0
			} else {
				at := int(y0>>16)*w + int(x0>>16)
				fx, fy := int32(x0>>8)&255, int32(y0>>8)&255
				top, low := then[at:at+2:at+2], then[at+w:at+w+2:at+w+2]
				a := int32(top[0])<<8 + fx*(int32(top[1])-int32(top[0]))
				b := int32(low[0])<<8 + fx*(int32(low[1])-int32(low[0]))
				v := (a + (fy*((b-a)>>4))>>4 + 128) >> 8
				e := int32(row[x]) - v
				out[x] = uint16(max(e, -e))
			}
			x0 += dx
			y0 += dy
		}
	}
}

// noise returns the difference above which a pixel is taken to move: three
// standard deviations of the noise and one gray level, in ninths.
func (d *frameDifference) noise() int32 {
	var counts [512]int32
	for _, v := range d.diff {
		counts[min(v, uint16(len(counts)-1))]++
	}
	half, sum, median := int32(len(d.diff)/2), int32(0), 0
	for i, n := range counts {
		sum += n
		if sum >= half {
			median = i
			break
		}
	}
	return int32(math.Round(3*1.4826*float64(median))) + 9
}

// sum fills the cells with the square roots of what exceeds limit.
func (d *frameDifference) sum(limit int32) {
	cols := d.width / cellSide
	var sums [maxSide]int32
	for r := range d.height / cellSide {
		clear(sums[:cols])
		for y := r * cellSide; y < (r+1)*cellSide; y++ {
			row := d.diff[y*d.width:][:cols*cellSide]
			for c := range cols {
				five := row[c*cellSide:][:cellSide]
				for _, v := range five {
					sums[c] += max(int32(v)-limit, 0)
				}
			}
		}
		for c, v := range sums[:cols] {
			d.cell[r*cols+c] = float32(math.Sqrt(float64(v) / 9))
		}
	}
}
