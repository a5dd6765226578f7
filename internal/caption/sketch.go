package caption

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/asticode/go-astisub"

	"tenoff/internal/bullpen"
)

// Sketch is what was drawn on a frame, burned in over the picture that it was drawn
// on, from Start until End.
type Sketch struct {
	Start, End    time.Duration
	Left, Top     int // of the picture within the clip, pixels
	Width, Height int
	Shapes        []bullpen.Shape
}

// inks are the page's colours, as ASS writes them.
var inks = [...]string{
	"&H2BF1D8&", // d8f12b
	"&HFFFFFF&",
	"&H667AFF&", // ff7a66
	"&HF2C47F&", // 7fc4f2
}

// rimColour is round the ink, so that it shows on sky and on grass.
const rimColour = "&H110E0B&" // 0b0e11

// Measures of a sketch, in hundredths of the picture's longer side.
const (
	inkWidth   = 0.4
	rimWidth   = 0.2
	dotRadius  = 0.6
	arcRadius  = 4.0
	wordHeight = 3.2
	besideDot  = 1.6 // from a point to the words beside it
	leastTop   = 4.0 // where words end that would stand above the picture
)

// finest is how many parts of a pixel a drawn path is written in: libass reads \p4
// so.
const finest = 8

func (k Sketch) unit() float64 { return float64(max(k.Width, k.Height)) / 100 }

func (k Sketch) at(p bullpen.Point) [2]float64 {
	return [2]float64{float64(k.Left) + p[0]*float64(k.Width), float64(k.Top) + p[1]*float64(k.Height)}
}

// sketchItems writes sketches as events, one for each stroke or word.
func (b Bar) sketchItems(t typeface, style *astisub.Style, sketches []Sketch) []*astisub.Item {
	var items []*astisub.Item
	for _, k := range sketches {
		rim := fmt.Sprintf(`\bord%.2f\3c%s`, max(rimWidth*k.unit(), 1), rimColour)
		draw := func(text string) { items = append(items, event(style, k.Start, k.End, text)) }
		for _, shape := range k.Shapes {
			colour := inks[shape.Colour%len(inks)]
			if path := k.path(shape); path != "" {
				draw(`{\an7\pos(0,0)\c` + colour + rim + `\p4}` + path + `{\p0}`)
			}
			if words, at := k.words(shape); words != "" {
				draw(b.besideEvent(t, k, words, at, colour+rim))
			}
		}
	}
	return items
}

// words returns what a shape says and the point that it is said beside.
func (k Sketch) words(s bullpen.Shape) (string, bullpen.Point) {
	switch s.Kind {
	case bullpen.NoteShape:
		return s.Text, s.Points[0]
	case bullpen.AngleShape:
		if degrees, ok := s.Degrees(k.Width, k.Height); ok {
			return fmt.Sprintf("%.0f°", degrees), s.Points[1]
		}
	}
	return "", bullpen.Point{}
}

// besideEvent writes words beside a point so that they don't leave the picture.
func (b Bar) besideEvent(t typeface, k Sketch, words string, p bullpen.Point, tags string) string {
	at, unit := k.at(p), k.unit()
	em := wordHeight * unit
	anchor, x, room := 1, at[0]+besideDot*unit, float64(k.Left+k.Width)-at[0]-besideDot*unit
	if p[0] >= 0.65 {
		anchor, x, room = 3, at[0]-besideDot*unit, at[0]-float64(k.Left)-besideDot*unit
	}
	y := max(at[1], float64(k.Top)+leastTop*unit)
	row, shrink := t.fit(Row{{Text: words, User: true}}, max(room, em)/em)
	var text strings.Builder
	for _, span := range row {
		text.WriteString(t.ass(span.Text, Plain, t[0]))
	}
	return fmt.Sprintf(`{\an%d\pos(%.1f,%.1f)\fs%.2f\c%s}`, anchor, x, y, em*t[0].line*shrink, tags) + text.String()
}

// path writes a shape's ink as filled pieces, "" for a shape without any.
func (k Sketch) path(s bullpen.Shape) string {
	points := make([][2]float64, len(s.Points))
	for i, p := range s.Points {
		points[i] = k.at(p)
	}
	var out pen
	out.radius = max(inkWidth*k.unit(), 2) / 2
	switch s.Kind {
	case bullpen.NoteShape:
		out.radius = dotRadius * k.unit()
		out.dot(points[0])
	case bullpen.CircleShape:
		out.line(round(points[0], math.Hypot(points[1][0]-points[0][0], points[1][1]-points[0][1]), 0, 2*math.Pi))
	case bullpen.AngleShape:
		out.line(points)
		if _, ok := s.Degrees(k.Width, k.Height); ok {
			from, by := between(points)
			out.line(round(points[1], arcRadius*k.unit(), from, by))
		}
	default:
		out.line(points)
	}
	return out.String()
}

// between returns where an angle's first leg points and how far it is from there to
// the second, the short way round, in radians.
func between(p [][2]float64) (from, by float64) {
	from = math.Atan2(p[0][1]-p[1][1], p[0][0]-p[1][0])
	to := math.Atan2(p[2][1]-p[1][1], p[2][0]-p[1][0])
	return from, math.Remainder(to-from, 2*math.Pi)
}

// round returns points on a circle from one direction on, so far round.
func round(centre [2]float64, radius, from, by float64) [][2]float64 {
	n := max(int(math.Ceil(math.Abs(by)*math.Sqrt(radius))), 8) // chords within a third of a pixel of the circle
	out := make([][2]float64, n+1)
	for i := range out {
		sin, cos := math.Sincos(from + by*float64(i)/float64(n))
		out[i] = [2]float64{centre[0] + radius*cos, centre[1] + radius*sin}
	}
	return out
}

// pen writes strokes as pieces to be filled, all turning the same way: where pieces
// that turn against each other overlap nothing would be filled.
type pen struct {
	strings.Builder
	radius float64
}

// line draws along the points with round ends and joints.
func (w *pen) line(points [][2]float64) {
	for i, b := range points {
		w.dot(b)
		if i == 0 {
			continue
		}
		a := points[i-1]
		dx, dy := b[0]-a[0], b[1]-a[1]
		long := math.Hypot(dx, dy)
		if long == 0 {
			continue
		}
		x, y := -dy/long*w.radius, dx/long*w.radius
		w.piece([][2]float64{{a[0] - x, a[1] - y}, {b[0] - x, b[1] - y}, {b[0] + x, b[1] + y}, {a[0] + x, a[1] + y}})
	}
}

func (w *pen) dot(p [2]float64) { w.piece(round(p, w.radius, 0, 2*math.Pi)) }

func (w *pen) piece(points [][2]float64) {
	var twice float64
	for i, p := range points {
		q := points[(i+1)%len(points)]
		twice += p[0]*q[1] - p[1]*q[0]
	}
	if twice < 0 {
		points = slices.Clone(points)
		slices.Reverse(points)
	}
	for i, p := range points {
		switch i {
		case 0:
			w.WriteString("m ")
		case 1:
			w.WriteString("l ")
		}
		fmt.Fprintf(w, "%.0f %.0f ", p[0]*finest, p[1]*finest)
	}
}
