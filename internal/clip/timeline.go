package clip

import (
	"math"
	"path/filepath"
	"sort"
	"time"

	"tenoff/internal/bullpen"
)

// rate is the ticks of a clip's clock in a second. It divides by every usual
// frame rate and by the hundredths that captions change at.
const rate = 90000

const (
	tenth = rate / 10
	// beat is the shortest time a frame of a thinned film is shown.
	beat = rate / 60
	// hold is how long the number stays readable at least when the film ends
	// soon after release.
	hold = rate
)

// timeline takes frames of a film to ticks of a clip. The arithmetic is the one
// ffmpeg does when it carries the plan out, to the last bit.
type timeline struct {
	source  Source
	release int     // frame index
	at      int64   // tick of the clip that the release frame is shown at
	factor  float64 // ticks of the clip per 1/90000 s of the file
}

// ticks returns frame i's time in the container, in 1/90000 s, rounded as ffmpeg
// rounds: to the nearest, halves away from 0.
func (s Source) ticks(i int) int64 {
	return rescale(s.containerTick(i), s.Clock.Num*rate, s.Clock.Den)
}

// containerTick returns frame i's time as its packet is stamped.
func (s Source) containerTick(i int) int64 {
	return s.Cut.FirstTick + s.Clock.Ticks[i] - s.Clock.Ticks[0]
}

func rescale(v, num, den int64) int64 {
	if v < 0 {
		return -rescale(-v, num, den)
	}
	whole, rest := v/den, v%den
	return whole*num + (rest*num+den/2)/den
}

// hasSound reports whether the film has sound.
func (s Source) hasSound() bool { return s.Cut.Audio >= 0 }

func (s Source) slow() float64 {
	if s.Clock.Slow > 0 {
		return s.Clock.Slow
	}
	return 1
}

// frame returns the tick of the clip at which frame i is due; it may be negative.
func (t timeline) frame(i int) int64 {
	d := t.source.ticks(i) - t.source.ticks(t.release)
	return t.at + int64(math.Round(float64(d)*t.factor))
}

// due returns the first frame due at or after tick.
func (t timeline) due(tick int64) int {
	return sort.Search(t.source.Clock.Frames(), func(i int) bool { return t.frame(i) >= tick })
}

// showing returns the frame on show at tick: the last one due by then, or the
// first.
func (t timeline) showing(tick int64) int {
	i := t.due(tick)
	if i == t.source.Clock.Frames() || i > 0 && t.frame(i) > tick {
		i--
	}
	return i
}

// end is the tick at which the film's last frame has been shown for as long as
// the one before it.
func (t timeline) end() int64 {
	n := t.source.Clock.Frames()
	last := t.frame(n - 1)
	if n < 2 {
		return last + beat
	}
	return last + max(last-t.frame(n-2), beat)
}

// lead returns how many ticks before release the film begins, in file time
// scaled by factor, rounded up to a tenth of a second.
func lead(s Source, release int, factor float64) int64 {
	d := float64(s.ticks(release)-s.ticks(0)) * factor
	return int64(math.Ceil(d/tenth)) * tenth
}

// tenths returns seconds in ticks, rounded up to a tenth of a second.
func tenths(seconds float64) int64 {
	return int64(math.Ceil(seconds*10-1e-9)) * tenth
}

// duration returns ticks as time, rounded to the nearest nanosecond.
func duration(ticks int64) time.Duration {
	return time.Duration(rescale(ticks, int64(time.Second), rate))
}

// window fills in the usual window and says what is wrong with another.
func (w Window) filled() (Window, error) {
	if w.Before == 0 {
		w.Before = DefaultWindow.Before
	}
	if w.After == 0 {
		w.After = DefaultWindow.After
	}
	// Written so that NaN is refused too.
	if !(w.Before > 0 && w.Before <= 10 && w.After > 0 && w.After <= 10) {
		return w, bullpen.Errorf(bullpen.Invalid, "A clip can show up to 10 seconds before and after the release; choose times above 0 and up to 10.")
	}
	return w, nil
}

// check says what is wrong with a side.
func (s Side) check() error {
	c := s.Source.Clock
	switch {
	case !filepath.IsAbs(s.Source.Path):
		return bullpen.Errorf(bullpen.Internal, "This clip could not be planned; the log has the details.")
	case c.Frames() == 0 || c.Num <= 0 || c.Den <= 0 || s.Source.Width <= 0 || s.Source.Height <= 0:
		return bullpen.Errorf(bullpen.Invalid, "This film has not been read yet; wait until it is and make the clip again.")
	case s.Release < 0 || s.Release >= c.Frames():
		return bullpen.Errorf(bullpen.Invalid, "This rep's release lies outside its film; mark the release again and make the clip.")
	}
	return nil
}
