package film

import (
	"math"

	"tenoff/internal/bullpen"
)

// captureKey is where phones note the frame rate they captured at, when the file
// plays at another one. (Seen in files; not documented by their maker.)
const captureKey = "com.android.capture.fps"

const (
	slowedFrom = 1.5 // times: less is the ordinary inaccuracy of a camera's rate
	trueFrom   = 90  // frames a second: nobody stretches a film to this rate
)

// slowness returns how many times slower than captured a film with this clock
// plays, and whether the file says so. A file that plays at a high rate was not
// stretched. One at an ordinary rate without a note may have been, or not: 1 and
// false.
func slowness(c bullpen.Clock, tags map[string]string) (slow float64, known bool) {
	played := rate(c)
	captured := number(tags[captureKey])
	if captured <= 0 || played <= 0 {
		return 1, played >= trueFrom
	}
	slow = captured / played
	if slow < slowedFrom || slow > 100 {
		return 1, slow <= 100
	}
	if whole := math.Round(slow); math.Abs(slow-whole) < 0.015*whole {
		slow = whole // 240 over 29.97: both are round numbers of the same clock
	}
	return slow, true
}

// rate returns the mean frames a second, 0 for less than two frames.
func rate(c bullpen.Clock) float64 {
	n := c.Frames()
	if n < 2 {
		return 0
	}
	return float64(n-1) / c.FileSeconds(n-1)
}
