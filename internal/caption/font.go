package caption

import (
	"fmt"
	"strings"
	"unicode"

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
	ems  float64 // its width, when the first font's em is 1
}

// runs splits s by the font that draws each character; what no font has is left
// out. Spaces, signs and marks stay in the font of the letters before them where
// it has them, so that a script is not torn apart between its words.
func (t typeface) runs(s string) []run {
	out, _ := t.split(s)
	return out
}

// split returns the runs of s and what is left out between them.
func (t typeface) split(s string) (out []run, left []string) {
	dropped := false
	for _, r := range s {
		var now *face
		if len(out) > 0 {
			now = out[len(out)-1].face
		}
		f, ems := t.pick(r, now)
		joiner := unicode.Is(unicode.Cf, r)
		if f == nil || joiner && (dropped || now == nil) {
			if !dropped {
				left = append(left, "")
			}
			left[len(left)-1] += string(r)
			dropped = true
			continue
		}
		dropped = false
		// The renderer sizes every font by its line; Em is the first one's.
		ems *= t[0].line / f.line
		if f == now {
			out[len(out)-1].text += string(r)
			out[len(out)-1].ems += ems
			continue
		}
		out = append(out, run{f, string(r), ems})
	}
	return out, left
}

// pick returns the font that draws r and r's advance in it. Beyond the basic
// plane renderers look into different tables of a font and go on to whatever the
// machine has: no such character is drawn at all.
func (t typeface) pick(r rune, now *face) (*face, float64) {
	if r > 0xFFFF {
		return nil, 0
	}
	if now != nil && !unicode.IsLetter(r) {
		if ems, ok := now.advance(r); ok {
			return now, ems
		}
	}
	for _, f := range t {
		if ems, ok := f.advance(r); ok {
			return f, ems
		}
	}
	return nil, 0
}

// drawn returns what of s is drawn.
func (t typeface) drawn(s string) string {
	var b strings.Builder
	for _, r := range t.runs(s) {
		b.WriteString(r.text)
	}
	return b.String()
}

// width returns the width of s in ems.
func (t typeface) width(s string) float64 {
	var ems float64
	for _, r := range t.runs(s) {
		ems += r.ems
	}
	return ems
}
