package bullpen

import (
	"math"
	"unicode/utf8"
)

// Point is a place on a picture: shares of its width and height, 0..1 each, from
// the top left.
type Point [2]float64

// ShapeKind is what a shape is.
type ShapeKind string

// The shapes.
const (
	LineShape     ShapeKind = "line"     // 2 points
	AngleShape    ShapeKind = "angle"    // 3 points, the vertex in the middle
	CircleShape   ShapeKind = "circle"   // the centre and a point on it
	FreehandShape ShapeKind = "freehand" // 2 points or more
	NoteShape     ShapeKind = "note"     // 1 point, and words pinned to it
)

// Shape is one stroke on a frame.
type Shape struct {
	Kind   ShapeKind `json:"kind"`
	Points []Point   `json:"points"`
	Colour int       `json:"colour"` // which of the page's, 0..7
	Text   string    `json:"text"`   // of a note
}

// Drawing is what was drawn on one frame of a rep.
type Drawing struct {
	RepID   string
	Frame   int
	Shapes  []Shape
	Version int64
}

// The most of a drawing.
const (
	MostShapes = 100
	MostPoints = 2000 // of one freehand stroke
)

// points says how many points a kind has.
var points = map[ShapeKind][2]int{
	LineShape: {2, 2}, AngleShape: {3, 3}, CircleShape: {2, 2}, FreehandShape: {2, MostPoints}, NoteShape: {1, 1},
}

// Check returns an *Error of code Invalid that says what is wrong with the drawing,
// or nil.
func (d Drawing) Check() error {
	if len(d.Shapes) > MostShapes {
		return Errorf(Invalid, "There are %d shapes on this frame; the most is %d.", len(d.Shapes), MostShapes)
	}
	for i, s := range d.Shapes {
		n, known := points[s.Kind]
		if !known || len(s.Points) < n[0] || len(s.Points) > n[1] || s.Colour < 0 || s.Colour > 7 {
			return Errorf(Invalid, "Shape %d is none that can be drawn.", i+1)
		}
		if s.Text != "" && s.Kind != NoteShape || s.Kind == NoteShape && s.Text == "" || utf8.RuneCountInString(s.Text) > 200 {
			return Errorf(Invalid, "Shape %d: a note has 1 to 200 letters, and nothing else has any.", i+1)
		}
		for _, p := range s.Points {
			if !(p[0] >= 0 && p[0] <= 1 && p[1] >= 0 && p[1] <= 1) {
				return Errorf(Invalid, "Shape %d reaches out of the picture.", i+1)
			}
		}
	}
	return nil
}

// Degrees returns the angle at the vertex of an angle shape on a picture of that
// many pixels, 0..180; ok is false for another shape, or one whose points coincide.
func (s Shape) Degrees(width, height int) (degrees float64, ok bool) {
	if s.Kind != AngleShape || len(s.Points) != 3 {
		return 0, false
	}
	leg := func(i int) (x, y float64) {
		return (s.Points[i][0] - s.Points[1][0]) * float64(width), (s.Points[i][1] - s.Points[1][1]) * float64(height)
	}
	ax, ay := leg(0)
	bx, by := leg(2)
	if ax == 0 && ay == 0 || bx == 0 && by == 0 {
		return 0, false
	}
	return math.Abs(math.Atan2(ax*by-ay*bx, ax*bx+ay*by)) * 180 / math.Pi, true
}
