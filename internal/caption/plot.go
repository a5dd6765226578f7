package caption

import (
	"fmt"
	"math"
	"strings"
	"time"

	"github.com/asticode/go-astisub"

	"tenoff/internal/texts"
)

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
	armColour    = "&HE8A8C4&" // c4a8e8: top to release
	tickColour   = "&HFFFFFF&"
	edgeColour   = "&H000000&"
	quietColour  = "&H808080&"
	groundColour = "&H262626&"
	secondColour = "&HE0C08C&" // 8cc0e0: the right picture's trace
)

// chalk draws what stands on the bar the whole clip long.
type chalk struct {
	bar   Bar
	faces typeface
	style *astisub.Style
	items []*astisub.Item
}

func (w *chalk) event(start, end time.Duration, text string) {
	w.items = append(w.items, event(w.style, start, end, text))
}

func (w *chalk) shape(colour, path string) {
	w.event(0, w.bar.chart.End, `{\an7\pos(0,0)\c`+colour+`\p1}`+path+`{\p0}`)
}

// label writes text of scale times the bar's letters; x and y are its anchor, as ASS
// numbers them.
func (w *chalk) label(x, y float64, anchor int, scale float64, colour, text string) {
	w.event(0, w.bar.chart.End, fmt.Sprintf(`{\an%d\pos(%.0f,%.0f)\fs%.2f\c%s}%s`,
		anchor, x, y, w.bar.fontSize(w.faces, scale), colour, w.faces.ass(text, Plain, w.faces[0])))
}

// chartItems draws the bar's chart: a key, the two lanes under each other, their
// motion, and the differences in words.
func (b Bar) chartItems(t typeface, style *astisub.Style) []*astisub.Item {
	c := b.chart
	if c == nil {
		return nil
	}
	w := &chalk{bar: b, faces: t, style: style}
	em, line := float64(b.Em), float64(b.line())
	margin := em / 2
	names := 0.0
	if c.traced() {
		names = t.width(c.Language.Say("chart.movement"))
	}
	for _, l := range c.Rows {
		names = max(names, t.width(l.Name))
	}
	p := plot{chart: c, bar: b, left: margin + names*small*em + em/2, from: c.from(), to: chartAfter}
	p.width = float64(b.Width) - margin - p.left

	y := float64(b.chartTop) + 0.1*line
	w.key(y+keyRows*line/2, float64(b.Width)-2*margin)
	y += (keyRows + 0.1) * line
	top := y
	for i, l := range c.Rows {
		w.label(margin, y+laneRows*line/2, 4, small, laneColour(i), l.Name)
		p.lane(l, y, laneRows*line, w)
		y += laneRows * line
	}
	if c.traced() {
		height := traceRows * line * 0.9
		y += 0.1 * line
		w.shape(groundColour, box(p.left, y, p.left+p.width, y+height))
		w.label(margin, y+height/2, 4, small, quieter, c.Language.Say("chart.movement"))
		for i, l := range c.Rows {
			if path := p.trace(l.Motion, y+0.08*height, 0.84*height, i > 0); path != "" {
				w.shape(laneColour(i), path)
			}
		}
		y += height + 0.1*line
	}
	p.playhead(top, y, w)
	if c.Words != "" {
		row, shrink := t.fit(Row{{Text: c.Words}}, (float64(b.Width)-2*margin)/em)
		if len(row) > 0 {
			w.label(float64(b.Width)/2, y+line/2, 5, shrink, tickColour, row[0].Text)
		}
	}
	return w.items
}

// quieter is the colour of what explains.
const quieter = "&HC0C0C0&"

// laneColour is the colour of a lane's name and of its trace.
func laneColour(i int) string {
	if i > 0 {
		return secondColour
	}
	return tickColour
}

// key says in one row what bars and signs mean.
func (w *chalk) key(y, room float64) {
	em := float64(w.bar.Em)
	say := func(key texts.Key) string { return w.bar.chart.Language.Say(key) }
	entries := []struct {
		colour string // of a bar; "" for a sign
		sign   sign
		text   string
	}{
		{legsColour, nil, say("chart.legs")}, {armColour, nil, say("chart.arm")},
		{"", driveSign, say("instant.drive")}, {"", plantSign, say("instant.plant")}, {"", topSign, say("instant.top")}, {"", releaseSign, say("instant.release")},
	}
	const swatch, gap, next = 0.9, 0.25, 0.75 // in ems of the key's letters
	wide := -next
	for _, e := range entries {
		wide += swatch + gap + w.faces.width(e.text) + next
	}
	scale := min(tiny, slack*room/(wide*em))
	em *= scale
	x := (float64(w.bar.Width) - wide*em) / 2
	for _, e := range entries {
		if e.colour != "" {
			w.shape(e.colour, box(x, y-0.3*em, x+swatch*em, y+0.3*em))
		} else {
			w.shape(tickColour, e.sign.at(x+swatch*em/2, y, 0.42*em))
		}
		x += (swatch + gap) * em
		w.label(x, y, 4, scale, quieter, e.text)
		x += (w.faces.width(e.text) + next) * em
	}
}

// sign is the outline of an instant's mark, within -1 to 1.
type sign [][2]float64

// The instants are told apart by shape: the drive points ahead, the plant down, the
// top up, and the release is round as the ball.
var (
	driveSign   = sign{{-0.8, -1}, {1, 0}, {-0.8, 1}}
	plantSign   = sign{{-1, -0.8}, {1, -0.8}, {0, 1}}
	topSign     = sign{{-1, 0.8}, {1, 0.8}, {0, -1}}
	releaseSign = disc(16)
)

// disc is a circle as the polygon of n corners.
func disc(n int) sign {
	s := make(sign, n)
	for i := range s {
		s[i][1], s[i][0] = math.Sincos(2 * math.Pi * float64(i) / float64(n))
	}
	return s
}

func (s sign) at(x, y, size float64) string {
	var path strings.Builder
	for i, p := range s {
		fmt.Fprintf(&path, "%s %.0f %.0f ", [2]string{"m", "l"}[min(i, 1)], x+size*p[0], y+size*p[1])
	}
	return strings.TrimSpace(path.String())
}

// lane draws when legs and arm of a delivery were at work, which may be at once, and
// its four instants.
func (p plot) lane(l ChartRow, top, height float64, w *chalk) {
	middle := top + height/2
	w.shape(quietColour, box(p.left, middle-1, p.left+p.width, middle+1))
	span := func(a, b *float64, colour string, y0, y1 float64) {
		if a != nil && b != nil && *b > *a {
			w.shape(colour, box(p.x(*a), y0, p.x(*b), y1))
		}
	}
	span(l.Drive, l.Plant, legsColour, top+0.1*height, middle-0.02*height)
	span(l.Top, l.Release, armColour, middle+0.02*height, top+0.9*height)
	// Plant and top are close to each other: the signs keep to their bars.
	size, legs, arm := 0.22*height, top+0.29*height, top+0.71*height
	for _, e := range []struct {
		at   *float64
		y    float64
		sign sign
	}{{l.Drive, legs, driveSign}, {l.Plant, legs, plantSign}, {l.Top, arm, topSign}, {l.Release, arm, releaseSign}} {
		if e.at != nil {
			w.shape(edgeColour, e.sign.at(p.x(*e.at), e.y, 1.4*size))
			w.shape(tickColour, e.sign.at(p.x(*e.at), e.y, size))
		}
	}
}

// reach is the least and the most motion that the chart shows, so that the traces use
// their height.
func (p plot) reach() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, l := range p.chart.Rows {
		for k, v := range l.Motion.Values {
			if at := l.Motion.From + float64(k)*l.Motion.Step; at >= p.from && at <= p.to {
				lo, hi = min(lo, float64(v)), max(hi, float64(v))
			}
		}
	}
	return lo, max(hi, lo+0.05)
}

// trace draws motion as a line, broken for the second of two.
func (p plot) trace(m Trace, top, height float64, broken bool) string {
	stroke := max(p.width/300, 2)
	lo, hi := p.reach()
	var path strings.Builder
	at := func(k int) (x, y float64) {
		return p.x(m.From + float64(k)*m.Step), top + height*(hi-float64(m.Values[k]))/(hi-lo)
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
func (p plot) playhead(top, bottom float64, w *chalk) {
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
	w.event(start, end, fmt.Sprintf(`{\an8\move(%.1f,%.0f,%.1f,%.0f)\c%s\p1}%s{\p0}`,
		p.x(real(start)), top, p.x(real(end)), top, tickColour, box(0, 0, max(p.width/500, 2), bottom-top)))
}

func box(left, top, right, bottom float64) string {
	return fmt.Sprintf("m %.0f %.0f l %.0f %.0f %.0f %.0f %.0f %.0f", left, top, right, top, right, bottom, left, bottom)
}
