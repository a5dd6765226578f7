package caption

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/asticode/go-astisub"
)

// Chart lays two deliveries' instants and motion over each other on one clock, under
// the captions of a pair: burned in only. All its seconds are real seconds of the
// clip's clock from the release.
type Chart struct {
	// Words says the differences in one row, "" for none.
	Words string `json:"words,omitempty"`
	Lanes []Lane `json:"lanes"` // the left picture's, then the right's
	// When the release is on show, when the clip ends, and the played rate.
	Release time.Duration `json:"-"`
	End     time.Duration `json:"-"`
	Speed   float64       `json:"-"`
}

// Lane is one delivery of a chart.
type Lane struct {
	Name    string   `json:"name"`
	Drive   *float64 `json:"drive,omitempty"`
	Plant   *float64 `json:"plant,omitempty"`
	Top     *float64 `json:"top,omitempty"`
	Release *float64 `json:"release,omitempty"`
	Motion  Trace    `json:"-"`
}

// Trace is how much moved, 0 to 1, at even steps.
type Trace struct {
	From, Step float64 // seconds from the release, and between values
	Values     []float32
}

// Heights of a chart's parts in rows of the bar, and of the small letters in ems.
const (
	laneRows  = 0.8
	labelRows = 0.85
	traceRows = 1.5
	small     = 0.8
)

// before and after are how far the clock of a chart reaches beyond the instants.
const (
	chartBefore = 0.12
	chartAfter  = 0.20
	emptyChart  = 0.60 // before release, when no instant is earlier
)

// With returns the bar with room for a chart below its rows; nil is none.
func (b Bar) With(c *Chart) Bar {
	if c == nil {
		return b
	}
	b.chart = c
	b.chartTop = b.Top + b.Height
	rows := 2*labelRows + laneRows*float64(len(c.Lanes))
	if c.traced() {
		rows += traceRows
	}
	if c.Words != "" {
		rows++
	}
	b.Height += 2 * int(math.Ceil((rows+0.3)*float64(b.line())/2))
	return b
}

func (c *Chart) traced() bool {
	for _, l := range c.Lanes {
		if len(l.Motion.Values) > 1 {
			return true
		}
	}
	return false
}

// from is where the chart's clock begins.
func (c *Chart) from() float64 {
	first := -emptyChart
	for _, l := range c.Lanes {
		for _, t := range []*float64{l.Drive, l.Plant, l.Top} {
			if t != nil {
				first = min(first, *t)
			}
		}
	}
	return first - chartBefore
}

// plot is a chart's place on the bar, in pixels.
type plot struct {
	chart       *Chart
	bar         Bar
	left, width float64
	from, to    float64
}

func (p plot) x(seconds float64) float64 {
	return p.left + p.width*(seconds-p.from)/(p.to-p.from)
}

// Colours of a chart, blue first. The lanes' traces differ in their strokes too.
const (
	legsColour   = "&H5FC4F2&" // f2c45f: drive to plant
	throwColour  = "&HE8A8C4&" // c4a8e8: plant to release
	tickColour   = "&HFFFFFF&"
	quietColour  = "&H808080&"
	secondColour = "&HE0C08C&" // 8cc0e0: the right picture's trace
)

// chartItems draws the bar's chart.
func (b Bar) chartItems(t typeface, style *astisub.Style) []*astisub.Item {
	c := b.chart
	if c == nil {
		return nil
	}
	em, line := float64(b.Em), float64(b.line())
	margin := em / 2
	var names float64
	for _, l := range c.Lanes {
		names = max(names, t.width(l.Name)*small*em)
	}
	p := plot{chart: c, bar: b, left: margin + names + em/2, from: c.from(), to: chartAfter}
	p.width = float64(b.Width) - margin - p.left
	var items []*astisub.Item
	event := func(start, end time.Duration, text string) {
		items = append(items, &astisub.Item{StartAt: start, EndAt: end, Style: style, Lines: []astisub.Line{{Items: []astisub.LineItem{{Text: text}}}}})
	}
	shape := func(colour, path string) { event(0, c.End, `{\an7\pos(0,0)\c`+colour+`\p1}`+path+`{\p0}`) }
	label := func(x, y float64, anchor int, scale float64, colour, text string) {
		event(0, c.End, fmt.Sprintf(`{\an%d\pos(%.0f,%.0f)\fs%.2f\c%s}%s`, anchor, x, y, b.fontSize(t, scale), colour, t.ass(text, Plain, t[0])))
	}

	y := float64(b.chartTop) + 0.1*line
	lanes := y + labelRows*line
	height := laneRows * line
	for i, l := range c.Lanes {
		top := lanes + float64(i)*height
		colour := tickColour
		if i > 0 {
			colour = secondColour
		}
		label(margin, top+height/2, 4, small, colour, l.Name)
		p.lane(l, top+0.15*height, 0.7*height, shape)
	}
	if n := len(c.Lanes); n > 0 {
		first, last := c.Lanes[0], c.Lanes[n-1]
		for _, e := range []struct {
			name  string
			at    *float64
			above bool
		}{{"drive", first.Drive, true}, {"top", first.Top, true}, {"release", first.Release, true}, {"plant", last.Plant, false}} {
			if e.at == nil {
				continue
			}
			if e.above {
				label(p.x(*e.at), lanes-labelRows*line/2, 5, small, tickColour, e.name)
			} else {
				label(p.x(*e.at), lanes+float64(n)*height+labelRows*line/2, 5, small, tickColour, e.name)
			}
		}
	}
	bottom := lanes + float64(len(c.Lanes))*height
	y = bottom + labelRows*line
	if c.traced() {
		for i, l := range c.Lanes {
			colour := tickColour
			if i > 0 {
				colour = secondColour
			}
			if path := p.trace(l.Motion, y, traceRows*line*0.92, i > 0); path != "" {
				shape(colour, path)
			}
		}
		y += traceRows * line
		bottom = y
	}
	p.playhead(lanes, bottom, event)
	if c.Words != "" {
		row, shrink := t.fit(Row{{Text: c.Words}}, (float64(b.Width)-2*margin)/em)
		if len(row) > 0 {
			label(float64(b.Width)/2, y+line/2, 5, shrink, tickColour, row[0].Text)
		}
	}
	return items
}

// lane draws the two phases of a delivery and its four instants.
func (p plot) lane(l Lane, top, height float64, shape func(colour, path string)) {
	shape(quietColour, box(p.left, top+height/2-1, p.left+p.width, top+height/2+1))
	span := func(a, b *float64, colour string) {
		if a != nil && b != nil && *b > *a {
			shape(colour, box(p.x(*a), top, p.x(*b), top+height))
		}
	}
	span(l.Drive, l.Plant, legsColour)
	span(l.Plant, l.Release, throwColour)
	half := max(p.width/600, 1)
	for _, at := range []*float64{l.Drive, l.Plant, l.Top, l.Release} {
		if at != nil {
			shape(tickColour, box(p.x(*at)-half, top-height/5, p.x(*at)+half, top+height*6/5))
		}
	}
}

// trace draws motion as a line, broken for the second of two.
func (p plot) trace(m Trace, top, height float64, broken bool) string {
	stroke := max(p.width/400, 2)
	var path strings.Builder
	at := func(k int) (x, y float64) {
		return p.x(m.From + float64(k)*m.Step), top + height*(1-float64(m.Values[k]))
	}
	for k := range len(m.Values) - 1 {
		from := m.From + float64(k)*m.Step
		if from < p.from || from+m.Step > p.to || broken && k%3 == 2 {
			continue
		}
		x0, y0 := at(k)
		x1, y1 := at(k + 1)
		long := math.Hypot(x1-x0, y1-y0)
		dx, dy := stroke/2*(y1-y0)/long, stroke/2*(x1-x0)/long // across the stroke
		fmt.Fprintf(&path, "m %.0f %.0f l %.0f %.0f %.0f %.0f %.0f %.0f ",
			x0-dx, y0+dy, x1-dx, y1+dy, x1+dx, y1-dy, x0+dx, y0-dy)
	}
	return strings.TrimSpace(path.String())
}

// playhead runs along with the clip.
func (p plot) playhead(top, bottom float64, event func(start, end time.Duration, text string)) {
	c := p.chart
	if c.Speed <= 0 {
		return
	}
	clip := func(real float64) time.Duration {
		d := c.Release + time.Duration(real/c.Speed*float64(time.Second))
		return min(max(d, 0), c.End).Truncate(10 * time.Millisecond)
	}
	real := func(at time.Duration) float64 { return (at - c.Release).Seconds() * c.Speed }
	start, end := clip(p.from), clip(p.to)
	if end <= start {
		return
	}
	event(start, end, fmt.Sprintf(`{\an8\move(%.1f,%.0f,%.1f,%.0f)\c%s\p1}%s{\p0}`,
		p.x(real(start)), top, p.x(real(end)), top, tickColour, box(0, 0, max(p.width/500, 2), bottom-top)))
}

func box(left, top, right, bottom float64) string {
	return fmt.Sprintf("m %.0f %.0f l %.0f %.0f %.0f %.0f %.0f %.0f", left, top, right, top, right, bottom, left, bottom)
}
