package wire

import "tenoff/internal/bullpen"

// Shape is one stroke on a frame.
type Shape struct {
	Kind    bullpen.ShapeKind `json:"kind"`
	Points  [][]float64       `json:"points" nullable:"false" minItems:"1" maxItems:"2000" doc:"[x, y] as shares of the picture's width and height from the top left: a line 2, an angle 3 with the vertex in the middle, a circle its centre and a point on it, freehand 2 or more, a note 1"`
	Colour  int               `json:"colour" minimum:"0" maximum:"7" doc:"which of the page's colours"`
	Text    string            `json:"text,omitempty" maxLength:"200" doc:"of a note"`
	Degrees *float64          `json:"degrees,omitempty" readOnly:"true" doc:"of an angle, computed; what is sent is ignored"`
}

// Drawing is what was drawn on one frame of a rep.
type Drawing struct {
	RepID   string  `json:"repId"`
	Frame   int     `json:"frame" doc:"frame index on the rep's film"`
	Version int64   `json:"version" doc:"send it back with an edit"`
	Shapes  []Shape `json:"shapes" nullable:"false"`
}

// DrawingList is what was drawn on one rep.
type DrawingList struct {
	Drawings []Drawing `json:"drawings" nullable:"false" doc:"by frame"`
}

// DrawingEdit is a PUT body: the whole frame anew; no shapes removes the drawing.
type DrawingEdit struct {
	Version int64   `json:"version" doc:"the version you saw, 0 for a frame without a drawing; 409 when it is no longer the current one"`
	Shapes  []Shape `json:"shapes" nullable:"false" maxItems:"100"`
}

// DrawingOf returns d as the API says it, on a picture of that many pixels.
func DrawingOf(d bullpen.Drawing, width, height int) Drawing {
	out := Drawing{RepID: d.RepID, Frame: d.Frame, Version: d.Version, Shapes: make([]Shape, len(d.Shapes))}
	for i, s := range d.Shapes {
		out.Shapes[i] = Shape{Kind: s.Kind, Colour: s.Colour, Text: s.Text, Points: make([][]float64, len(s.Points))}
		for j, p := range s.Points {
			out.Shapes[i].Points[j] = []float64{p[0], p[1]}
		}
		if degrees, ok := s.Degrees(width, height); ok {
			out.Shapes[i].Degrees = &degrees
		}
	}
	return out
}

// Drawing returns what was sent for a frame of a rep.
func (e DrawingEdit) Drawing(repID string, frame int) bullpen.Drawing {
	d := bullpen.Drawing{RepID: repID, Frame: frame, Version: e.Version, Shapes: make([]bullpen.Shape, len(e.Shapes))}
	for i, s := range e.Shapes {
		d.Shapes[i] = bullpen.Shape{Kind: s.Kind, Colour: s.Colour, Text: s.Text, Points: make([]bullpen.Point, len(s.Points))}
		for j, p := range s.Points {
			if len(p) == 2 {
				d.Shapes[i].Points[j] = bullpen.Point{p[0], p[1]}
			} else {
				d.Shapes[i].Points[j] = bullpen.Point{-1, -1} // refused by Check
			}
		}
	}
	return d
}
