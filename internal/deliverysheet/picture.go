package deliverysheet

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	"sync"

	scale "golang.org/x/image/draw"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

// Sizes in the picture, pixels.
const (
	across    = 320 // a still's width
	highest   = 560 // a still's height at most
	gap       = 10
	margin    = 24
	titleSize = 34
	nameSize  = 26
	underSize = 21
	quality   = 88
)

var (
	paper = color.White
	ink   = color.RGBA{0x14, 0x17, 0x1a, 0xff}
	soft  = color.RGBA{0x4a, 0x52, 0x5a, 0xff}
	night = color.RGBA{0x0b, 0x0e, 0x11, 0xff}
)

// stills are a row's four pictures, whole, in the order of its instants.
type stills [4]image.Image

// compose lays the sheet out. The stills of a row are all of one size.
func compose(s Sheet, rows [2]stills) (image.Image, error) {
	var boxes [2]bullpen.Box
	var sizes [2]image.Point
	for i := range rows {
		boxes[i], sizes[i] = s.Rows[i].Delivery.Film.Pitcher(), rows[i][0].Bounds().Size()
	}
	parts := crops(boxes, sizes)
	wide, high := across, across*parts[0].Dy()/parts[0].Dx()
	if high > highest {
		wide, high = wide*highest/high, highest
	}
	step := max(wide, 240) + gap // a narrow still leaves its words the room they need
	width := 2*margin + 4*step - gap
	const head, foot = 54, 78
	height := margin + 2*(head+high+foot) + margin/2
	if s.Sentence != "" {
		height += underSize + margin/2
	}
	out := image.NewRGBA(image.Rect(0, 0, width, height))
	draw.Draw(out, out.Bounds(), image.NewUniform(paper), image.Point{}, draw.Src)
	y := margin
	for i, row := range s.Rows {
		if err := write(out, row.Title, titleSize, ink, margin, y+titleSize, width-2*margin); err != nil {
			return nil, err
		}
		y += head
		for k, still := range rows[i] {
			left := margin + k*step
			at := image.Rect(left, y, left+wide, y+high)
			draw.Draw(out, at, image.NewUniform(night), image.Point{}, draw.Src)
			part(out, at, still, parts[i])
			if l := row.Delivery.Lines[k]; l != nil {
				if err := drawLines(out, s.language, *l, at, sizes[i], parts[i]); err != nil {
					return nil, err
				}
			}
			if err := write(out, s.Names[k], nameSize, ink, left, y+high+nameSize+4, step-gap); err != nil {
				return nil, err
			}
			if err := write(out, row.Under[k], underSize, soft, left, y+high+nameSize+underSize+10, step-gap); err != nil {
				return nil, err
			}
		}
		y += high + foot
	}
	if s.Sentence != "" {
		if err := write(out, s.Sentence, underSize, ink, margin, y+underSize, width-2*margin); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// part draws a part of a still, which may reach beyond it, into a place of the picture.
func part(out draw.Image, at image.Rectangle, still image.Image, of image.Rectangle) {
	of = of.Add(still.Bounds().Min)
	seen := of.Intersect(still.Bounds())
	if seen.Empty() {
		return
	}
	place := func(v, from, length, to, wide int) int { return to + (v-from)*wide/length }
	to := image.Rect(
		place(seen.Min.X, of.Min.X, of.Dx(), at.Min.X, at.Dx()), place(seen.Min.Y, of.Min.Y, of.Dy(), at.Min.Y, at.Dy()),
		place(seen.Max.X, of.Min.X, of.Dx(), at.Min.X, at.Dx()), place(seen.Max.Y, of.Min.Y, of.Dy(), at.Min.Y, at.Dy()),
	)
	scale.CatmullRom.Scale(out, to, still, seen, draw.Src, nil)
}

// letters is the font of the captions.
var letters = sync.OnceValues(func() (*opentype.Font, error) { return opentype.Parse(caption.Fonts()[0].TTF) })

// write writes a line with its baseline at y, smaller where it would be wider than most.
func write(out draw.Image, text string, size float64, c color.Color, x, y, most int) error {
	f, err := letters()
	if err != nil {
		return fmt.Errorf("delivery: font: %w", err)
	}
	for {
		face, err := opentype.NewFace(f, &opentype.FaceOptions{Size: size, DPI: 72, Hinting: font.HintingNone})
		if err != nil {
			return fmt.Errorf("delivery: font: %w", err)
		}
		d := font.Drawer{Dst: out, Src: image.NewUniform(c), Face: face, Dot: fixed.P(x, y)}
		if wide := d.MeasureString(text).Ceil(); wide <= most || size < 12 {
			d.DrawString(text)
			return face.Close()
		}
		size--
		if err := face.Close(); err != nil {
			return err
		}
	}
}

// encode writes the picture as a JPEG with nothing else in it: neither place nor date nor
// device.
func encode(picture image.Image) ([]byte, error) {
	var b bytes.Buffer
	err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: quality})
	return b.Bytes(), err
}
