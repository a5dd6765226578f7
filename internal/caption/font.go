package caption

import (
	"fmt"

	"github.com/go-fonts/dejavu/dejavusansbold"
	"github.com/go-fonts/liberation/liberationsansbold"
	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// Font is a font file that captions are burned in with. Fonts come inside the
// program, so that a clip looks the same on every machine.
type Font struct {
	Name string // of a file that fonts are found by
	TTF  []byte
}

// Fonts returns the fonts that must lie in the folder given to the renderer:
// Liberation Sans Bold (SIL Open Font License) for nearly everything, DejaVu Sans
// Bold (Bitstream Vera licence) for scripts and signs that it lacks.
func Fonts() []Font {
	return []Font{
		{"liberation-sans-bold.ttf", liberationsansbold.TTF},
		{"dejavu-sans-bold.ttf", dejavusansbold.TTF},
	}
}

// face is a font that can be measured.
type face struct {
	family string
	font   *sfnt.Font
	buf    sfnt.Buffer
	// line is ascent plus descent in ems: the renderer takes this, not the em,
	// for a font's size.
	line float64
}

// measured em size, in pixels: large enough that rounding does not matter.
const ppem = 1000

func loadFace(f Font) (*face, error) {
	parsed, err := sfnt.Parse(f.TTF)
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", f.Name, err)
	}
	c := &face{font: parsed}
	if c.family, err = parsed.Name(&c.buf, sfnt.NameIDFamily); err != nil {
		return nil, fmt.Errorf("font %s: %w", f.Name, err)
	}
	m, err := parsed.Metrics(&c.buf, fixed.I(ppem), font.HintingNone)
	if err != nil {
		return nil, fmt.Errorf("font %s: %w", f.Name, err)
	}
	c.line = float64(m.Ascent+m.Descent) / 64 / ppem
	return c, nil
}

// advance returns how far r moves the pen, in ems, and whether f has it.
func (f *face) advance(r rune) (float64, bool) {
	g, err := f.font.GlyphIndex(&f.buf, r)
	if err != nil || g == 0 {
		return 0, false
	}
	a, err := f.font.GlyphAdvance(&f.buf, g, fixed.I(ppem), font.HintingNone)
	if err != nil {
		return 0, false
	}
	return float64(a) / 64 / ppem, true
}

// typeface is the fonts in order of preference.
type typeface []*face

func loadTypeface() (typeface, error) {
	var t typeface
	for _, f := range Fonts() {
		c, err := loadFace(f)
		if err != nil {
			return nil, err
		}
		t = append(t, c)
	}
	return t, nil
}

// run is a stretch of text in one font.
type run struct {
	face *face
	text string
	ems  float64 // width at a renderer's font size of the first font's em
}

// runs splits s by the first font that has each character; what none of them has
// is left out. A mark that sits on a letter stays in the letter's font if it can.
func (t typeface) runs(s string) []run {
	var out []run
	for _, r := range s {
		f, ems := t.pick(r)
		if f == nil {
			continue
		}
		// The renderer sizes each font by its own line, the first one's is ours.
		ems *= t[0].line / f.line
		if n := len(out); n > 0 && out[n-1].face == f {
			out[n-1].text += string(r)
			out[n-1].ems += ems
			continue
		}
		out = append(out, run{f, string(r), ems})
	}
	return out
}

func (t typeface) pick(r rune) (*face, float64) {
	for _, f := range t {
		if ems, ok := f.advance(r); ok {
			return f, ems
		}
	}
	return nil, 0
}

// width returns the width of s in ems.
func (t typeface) width(s string) float64 {
	var ems float64
	for _, r := range t.runs(s) {
		ems += r.ems
	}
	return ems
}
