package joints

import "math"

// Picture is one frame, or a part of one: rows of red, green and blue bytes.
type Picture struct {
	Width, Height int
	RGB           []byte
}

// square is a part of a picture: its middle and its side, in pixels. It may reach beyond
// the picture, where everything is black.
type square struct{ x, y, side float64 }

// into resamples the square of p into planes of side x side values, 0 to 255: bilinear
// where it is enlarged, the mean of what a pixel covers where it is reduced.
func (s square) into(p Picture, planes []float32) {
	columns := s.taps(s.x, p.Width)
	rows := s.taps(s.y, p.Height)
	// First along the rows that are needed, then down the columns.
	first, last := p.Height, -1
	for _, r := range rows {
		if len(r.weights) > 0 {
			first, last = min(first, r.from), max(last, r.from+len(r.weights)-1)
		}
	}
	clear(planes)
	if last < first {
		return
	}
	across := make([]float32, (last-first+1)*side*3)
	for r := first; r <= last; r++ {
		line := p.RGB[r*p.Width*3:][:p.Width*3]
		to := across[(r-first)*side*3:][:side*3]
		for c, tap := range columns {
			var red, green, blue float32
			at := 3 * tap.from
			for _, w := range tap.weights {
				red += w * float32(line[at])
				green += w * float32(line[at+1])
				blue += w * float32(line[at+2])
				at += 3
			}
			to[3*c], to[3*c+1], to[3*c+2] = red, green, blue
		}
	}
	for r, tap := range rows {
		red, green, blue := planes[r*side:][:side], planes[(side+r)*side:][:side], planes[(2*side+r)*side:][:side]
		for k, w := range tap.weights {
			from := across[(tap.from-first+k)*side*3:][:side*3]
			for c := range red {
				red[c] += w * from[3*c]
				green[c] += w * from[3*c+1]
				blue[c] += w * from[3*c+2]
			}
		}
	}
}

// tap is which of a line's pixels make one new pixel, and how much each counts.
type tap struct {
	from    int
	weights []float32
}

// taps returns, for each of side new pixels along one axis of the square around middle,
// what makes it. A triangle as wide as two new pixels, or two old ones where those are
// wider, weighs the old ones; what lies outside the picture counts as black.
func (s square) taps(middle float64, length int) [side]tap {
	step := s.side / side
	wide := math.Max(1, step)
	var out [side]tap
	for i := range out {
		at := middle - s.side/2 + (float64(i)+0.5)*step - 0.5 // in pixels, whole ones at their middle
		first, last := int(math.Ceil(at-wide)), int(math.Floor(at+wide))
		total := float32(0)
		t := tap{from: max(first, 0)}
		for k := first; k <= last; k++ {
			w := float32(1 - math.Abs(float64(k)-at)/wide)
			if w <= 0 {
				if k >= t.from && k < length {
					t.weights = append(t.weights, 0)
				}
				continue
			}
			total += w
			if k >= 0 && k < length {
				t.weights = append(t.weights, w)
			}
		}
		if t.from >= length {
			t.from, t.weights = 0, nil
		}
		for k := range t.weights {
			t.weights[k] /= total
		}
		out[i] = t
	}
	return out
}
