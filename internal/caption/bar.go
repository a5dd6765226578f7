package caption

// Bar is the opaque strip under a clip's picture that captions are written on,
// in pixels of the finished clip.
type Bar struct {
	Width  int // of the clip
	Top    int // where the bar begins: the height of the picture
	Height int
	Em     int // size of the letters
	rows   int // rows of the halves, or of the whole
	clock  bool

	chart    *Chart // below the rows; nil: there is none
	chartTop int
}

// Letters to a bar's width: a clip that fills the 390 points of a phone held
// upright shows letters of 390/24 = 16 points, the size a phone uses for text.
// A half has to make do with a little less.
const (
	emsWhole = 24
	emsHalf  = 17
)

// BarFor returns the bar for cues under a picture of the given size, as high as
// the longest cue needs. All sizes are even.
func BarFor(width, pictureHeight int, cues []Cue) Bar {
	b := Bar{Width: width, Top: pictureHeight, rows: 1}
	ems := emsWhole
	for _, c := range cues {
		switch c.Place {
		case Clock:
			b.clock = true
			continue
		case Left, Right:
			ems = 2 * emsHalf
		}
		b.rows = max(b.rows, len(c.Rows))
	}
	b.Em = max(width/ems, 8)
	b.Height = 2 * ((b.lines()*b.line() + b.line()/2 + 1) / 2)
	return b
}

// line is the height of a row.
func (b Bar) line() int { return b.Em * 4 / 3 }

func (b Bar) lines() int {
	if b.clock {
		return b.rows + 1
	}
	return b.rows
}

// cell is where a row of a cue goes: its left edge (the middle for the clock),
// the middle of its height, and how wide it may be.
func (b Bar) cell(p Place, row int) (x, y, width int) {
	margin := b.Em / 2
	if b.clock && p != Clock {
		row++
	}
	y = b.Top + b.line()/4 + row*b.line() + b.line()/2
	switch p {
	case Left:
		return margin, y, b.Width/2 - 2*margin
	case Right:
		return b.Width/2 + margin, y, b.Width/2 - 2*margin
	case Clock:
		return b.Width / 2, y, b.Width / 2
	}
	return margin, y, b.Width - 2*margin
}
