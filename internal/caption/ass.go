package caption

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"github.com/asticode/go-astisub"
)

// ASSDelay is how late the renderer must see every frame: with this much added
// to its time, a frame at a cue's start (a whole number of hundredths, as finely
// as ASS can say) is safely past it and the frame before safely not.
const ASSDelay = time.Millisecond

// WriteASS writes cues to be burned in on bar, and sketches over the picture, by a
// renderer that has Fonts and sees every frame ASSDelay late. A cue that starts
// between two hundredths of a second is shown from the earlier one on.
func WriteASS(w io.Writer, cues []Cue, bar Bar, sketches ...Sketch) error {
	t, err := loadTypeface()
	if err != nil {
		return err
	}
	style := &astisub.Style{ID: "bar", InlineStyle: bar.style(t)}
	subs := astisub.NewSubtitles()
	subs.Metadata = &astisub.Metadata{
		SSAScriptType: "v4.00+",
		SSAPlayResX:   new(bar.Width),
		SSAPlayResY:   new(bar.Top + bar.Height),
		SSAWrapStyle:  "2", // never break a row
	}
	subs.Styles[style.ID] = style
	for _, c := range cues {
		for i, row := range c.Rows {
			subs.Items = append(subs.Items, event(style, c.Start, c.End, bar.event(t, c.Place, i, row)))
		}
	}
	subs.Items = append(subs.Items, bar.chartItems(t, style)...)
	subs.Items = append(subs.Items, bar.sketchItems(t, style, sketches)...)
	return subs.WriteToSSA(w)
}

// event is one line of an ASS script; text is ASS already.
func event(style *astisub.Style, start, end time.Duration, text string) *astisub.Item {
	return &astisub.Item{StartAt: start, EndAt: end, Style: style, Lines: []astisub.Line{{Items: []astisub.LineItem{{Text: text}}}}}
}

func (b Bar) style(t typeface) *astisub.StyleAttributes {
	return &astisub.StyleAttributes{
		SSAFontName:      t[0].family,
		SSAFontSize:      new(b.fontSize(t, 1)),
		SSABold:          new(true),
		SSAPrimaryColour: &astisub.Color{Red: 255, Green: 255, Blue: 255},
		SSABorderStyle:   new(1),
		SSAOutline:       new(0.0),
		SSAShadow:        new(0.0),
		SSAAlignment:     new(4),
		SSAEncoding:      new(1),
	}
}

func (b Bar) fontSize(t typeface, shrink float64) float64 {
	return float64(b.Em) * t[0].line * shrink
}

// event writes one row as the text of an ASS event. Everything in braces is ours.
func (b Bar) event(t typeface, p Place, i int, row Row) string {
	x, y, width := b.cell(p, i)
	row, shrink := t.fit(row, float64(width)/float64(b.Em))
	anchor := 4 // the middle of the left edge
	if p == Clock {
		anchor = 5
	}
	var s strings.Builder
	fmt.Fprintf(&s, `{\an%d\pos(%d,%d)`, anchor, x, y)
	if shrink < 1 {
		s.WriteString(`\fs` + strconv.FormatFloat(b.fontSize(t, shrink), 'f', 2, 64))
	}
	s.WriteString("}")
	for n, span := range row {
		if n > 0 {
			s.WriteString(t.ass(span.Join, Plain, t[0]))
		}
		s.WriteString(t.ass(span.Text, span.Tone, t[0]))
	}
	return s.String()
}

// ass writes text in tone, changing to the fonts that have its characters and
// back to base.
func (t typeface) ass(text string, tone Tone, base *face) string {
	var s strings.Builder
	if tone != Plain {
		s.WriteString(`{\c` + tone.ass() + `}`)
	}
	for _, r := range t.runs(text) {
		if r.face != base {
			s.WriteString(`{\fn` + r.face.family + `}`)
		}
		s.WriteString(literal.Replace(r.text))
		if r.face != base {
			s.WriteString(`{\fn` + base.family + `}`)
		}
	}
	if rightToLeft(text) {
		s.WriteString("\u200e") // what follows runs on to the right
	}
	if tone != Plain {
		s.WriteString(`{\c` + Plain.ass() + `}`)
	}
	return s.String()
}

// literal makes text mean nothing to an ASS renderer but itself: a backslash is
// parted from what follows by a word joiner, which has no width.
var literal = strings.NewReplacer(`\`, "\\\u2060", `{`, `\{`, `}`, `\}`, "\r", " ", "\n", " ")

// ass writes the colour as ASS does, blue first.
func (t Tone) ass() string {
	switch t {
	case Firm:
		return "&H57B5FF&" // ffb557
	case In:
		return "&H86E08A&" // 8ae086
	case Soft:
		return "&HFFCB8F&" // 8fcbff
	case TooSoft:
		return "&HB8A3FF&" // ffa3b8
	case Aside:
		return "&HD0D0D0&"
	}
	return "&HFFFFFF&"
}
