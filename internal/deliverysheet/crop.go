package deliverysheet

import (
	"image"
	"math"

	"tenoff/internal/bullpen"
)

// room is how much is shown beyond the pitcher's box to every side, as a share of its
// height: a hand reaches out of it, and so does the ball.
const room = 0.08

// crops returns which part of its picture each of two films shows, so that both have one
// shape and the pitcher is as large in both: their boxes are as high. A film without a box
// is shown whole. Parts lie within the pictures where these are large enough.
func crops(boxes [2]bullpen.Box, sizes [2]image.Point) [2]image.Rectangle {
	var areas [2]struct{ x, y, w, h float64 }
	aspect := 0.0
	for i, b := range boxes {
		if b.None() {
			b = bullpen.Box{Width: 1, Height: 1}
		}
		w, h := float64(sizes[i].X), float64(sizes[i].Y)
		a := &areas[i]
		grown := room * b.Height * h
		a.x, a.y = math.Max(b.X*w-grown, 0), math.Max(b.Y*h-grown, 0)
		a.w, a.h = math.Min((b.X+b.Width)*w+grown, w)-a.x, math.Min((b.Y+b.Height)*h+grown, h)-a.y
		aspect = math.Max(aspect, a.w/a.h)
	}
	var out [2]image.Rectangle
	for i, a := range areas {
		wide := math.Round(a.h * aspect)
		left := math.Round(a.x - (wide-a.w)/2)
		if size := float64(sizes[i].X); wide <= size {
			left = min(max(left, 0), size-wide)
		}
		top := math.Round(a.y)
		out[i] = image.Rect(int(left), int(top), int(left+wide), int(top+math.Round(a.h)))
	}
	return out
}
