package deliverysheet

import (
	"image"
	"image/color"
	"image/draw"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// Her lines lie on the sheet where her joints are in the stills, in their own inks, on the
// stills of which they are known and on no other; and who can't see them reads them.
func TestLinesOnTheSheet(t *testing.T) {
	gray := image.NewRGBA(image.Rect(0, 0, 320, 180))
	draw.Draw(gray, gray.Bounds(), image.NewUniform(color.Gray{90}), image.Point{}, draw.Src)
	d := judged.Delivery{Film: store.Film{Film: bullpen.Film{Width: 320, Height: 180, Box: bullpen.Box{Width: 1, Height: 1}}}}
	fast := d
	d.Lines[1] = &posture.Lines{
		Trunk: [2]posture.Point{{X: 0.8, Y: 0.6}, {X: 0.9, Y: 0.4}}, Hips: [2]posture.Point{{X: 0.7, Y: 0.62}, {X: 0.9, Y: 0.58}},
		Lean: posture.Measure{Value: 26.6}, HipsWide: 0.8,
	}
	s := Of(texts.English, d, fast)
	picture, err := compose(s, [2]stills{{gray, gray, gray, gray}, {gray, gray, gray, gray}})
	if err != nil {
		t.Fatal(err)
	}
	like := func(a color.Color, b color.RGBA) bool {
		r, g, bl, _ := a.RGBA()
		near := func(x uint32, y uint8) bool { return max(int(x>>8), int(y))-min(int(x>>8), int(y)) < 40 }
		return near(r, b.R) && near(g, b.G) && near(bl, b.B)
	}
	counts := map[color.RGBA][2][4]int{}
	width := picture.Bounds().Dx()
	for y := range picture.Bounds().Dy() {
		for x := range width {
			for _, ink := range []color.RGBA{trunkInk, hipsInk} {
				if like(picture.At(x, y), ink) {
					c := counts[ink]
					c[min(2*y/picture.Bounds().Dy(), 1)][min((x-margin)/((width-2*margin+gap)/4), 3)]++
					counts[ink] = c
				}
			}
		}
	}
	for ink, c := range counts {
		for row := range c {
			for k, n := range c[row] {
				if want := row == 1 && k == 1; want != (n > 60) || !want && n > 0 {
					t.Errorf("ink %v: %d pixels on still %d of row %d", ink, n, k, row)
				}
			}
		}
	}
	if len(counts) != 2 {
		t.Errorf("inks on the sheet: %v", counts)
	}
	// The middle of the trunk's line is at (0.85, 0.5) of the picture's height: of a sheet
	// that shows all of the still.
	left := margin + (max(across, 240) + gap)
	x := left + int(0.85*180/320*across)
	lit := false
	for y := range picture.Bounds().Dy() {
		lit = lit || like(picture.At(x, y), trunkInk) && y > picture.Bounds().Dy()/2
	}
	if !lit {
		t.Errorf("the middle of her trunk's line is not at %d across", x)
	}
	if words := s.Words(); !strings.Contains(words, "Her upper body’s lean forward: plant 27°.") {
		t.Errorf("who can't see it reads %q", words)
	}
}
