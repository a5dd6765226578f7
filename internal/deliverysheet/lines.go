package deliverysheet

import (
	"image"
	"image/color"
	"math"

	"golang.org/x/image/vector"

	"tenoff/internal/posture"
	"tenoff/internal/texts"
)

// How her trunk's and her hips' lines are drawn, pixels of the sheet.
const (
	lineWide   = 5
	rimWide    = 9
	numberSize = 22
)

var (
	trunkInk = color.RGBA{0xd8, 0xf1, 0x2b, 0xff}
	hipsInk  = color.RGBA{0x7f, 0xc4, 0xf2, 0xff}
)

// drawLines draws her lines and their numbers over a still, of which a part is shown at a
// place of the sheet.
func drawLines(out *image.RGBA, l texts.Language, lines posture.Lines, at image.Rectangle, still image.Point, part image.Rectangle) error {
	within, ok := out.SubImage(at).(*image.RGBA)
	if !ok {
		return nil
	}
	place := func(p posture.Point) [2]float64 {
		x, y := p.X*float64(still.Y), p.Y*float64(still.Y)
		return [2]float64{
			float64(at.Min.X) + (x-float64(part.Min.X))*float64(at.Dx())/float64(part.Dx()),
			float64(at.Min.Y) + (y-float64(part.Min.Y))*float64(at.Dy())/float64(part.Dy()),
		}
	}
	for _, k := range []struct {
		of   [2]posture.Point
		ink  color.Color
		text string
	}{
		{lines.Trunk, trunkInk, lines.LeanSaid() + "°"},
		{lines.Hips, hipsInk, l.Say("lines.hips", texts.V{"share": math.Round(100 * lines.HipsWide)})},
	} {
		from, to := place(k.of[0]), place(k.of[1])
		stroke(within, from, to, rimWide, night)
		stroke(within, from, to, lineWide, k.ink)
		beside := to // her neck, or the hip that is further right
		if k.of == lines.Hips && from[0] > to[0] {
			beside = from
		}
		x, y := int(beside[0])+12, int(beside[1])+numberSize/3
		for _, d := range []image.Point{{-2, 0}, {2, 0}, {0, -2}, {0, 2}} {
			if err := write(within, k.text, numberSize, night, x+d.X, y+d.Y, at.Max.X-x-4); err != nil {
				return err
			}
		}
		if err := write(within, k.text, numberSize, k.ink, x, y, at.Max.X-x-4); err != nil {
			return err
		}
	}
	return nil
}

// stroke draws a line with square ends a little beyond its own.
func stroke(out *image.RGBA, a, b [2]float64, wide float64, ink color.Color) {
	long := math.Hypot(b[0]-a[0], b[1]-a[1])
	x, y := 1.0, 0.0
	if long > 0 {
		x, y = (b[0]-a[0])/long, (b[1]-a[1])/long
	}
	r, w := out.Bounds(), wide/2
	v := vector.NewRasterizer(r.Dx(), r.Dy())
	corner := func(p [2]float64, along, across float64) (float32, float32) {
		return float32(p[0] + along*x*w - across*y*w - float64(r.Min.X)), float32(p[1] + along*y*w + across*x*w - float64(r.Min.Y))
	}
	v.MoveTo(corner(a, -1, -1))
	v.LineTo(corner(b, 1, -1))
	v.LineTo(corner(b, 1, 1))
	v.LineTo(corner(a, -1, 1))
	v.ClosePath()
	v.Draw(out, r, image.NewUniform(ink), image.Point{})
}
