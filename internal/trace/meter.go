package trace

import "math"

// Real times between the frames a Meter looks at, in seconds.
const (
	sampleLag = 1.0 / 30 // between the two frames of a sample
	minStep   = 1.0 / 75 // between samples; frames nearer than this are passed over
	ringSize  = 5        // frames kept: the lag at 1/minStep, and one more
)

// Meter measures the motion of a film from its small gray frames, one at a
// time, while they are decoded. It is not safe for concurrent use.
type Meter struct {
	width, height int
	slow          float64
	ring          [ringSize]frame // newest first
	kept          int             // frames taken so far
	columns       []uint16        // scratch
	camera        *camera
	differ        *frameDifference
	novelty       []float32 // of each sample: how unlike the frame just before it, ninths of a gray level
	spans         []int     // of each sample: how many kept frames it reaches back
	motion        Motion
}

// NewMeter returns a Meter for gray frames of width x height pixels, one byte
// each, of a film that plays slow times slower than life (1: as filmed; 0 is
// taken as 1). What is left of width or height after whole cells of 5 pixels is
// not looked at: 160 x 90, 90 x 160, 120 x 90 fit exactly.
func NewMeter(width, height int, slow float64) *Meter {
	if !(slow > 0) {
		slow = 1
	}
	m := &Meter{
		width: width, height: height, slow: slow,
		columns: make([]uint16, width),
		camera:  newCamera(width, height),
		differ:  newDiffer(width, height),
		motion:  Motion{Cols: width / cellSide, Rows: height / cellSide, Slow: slow},
	}
	for i := range m.ring {
		m.ring[i].pix = make([]uint16, width*height)
	}
	return m
}

// Add takes the next frame: its width*height gray levels and its file time in
// seconds from the first shown frame. A frame that is not later than the last
// one taken, or is too short, is passed over. gray is not kept.
func (m *Meter) Add(gray []byte, seconds float64) {
	if len(gray) < m.width*m.height || m.width < cellSide || m.height < cellSide {
		return
	}
	if m.kept > 0 {
		if !(seconds > m.motion.End) {
			return
		}
		m.motion.End = seconds
		if (seconds-m.ring[0].at)/m.slow < minStep {
			return
		}
	}
	oldest := m.ring[ringSize-1]
	copy(m.ring[1:], m.ring[:ringSize-1])
	m.ring[0] = oldest
	m.ring[0].at = seconds
	smooth(m.ring[0].pix, gray, m.width, m.height, m.columns)
	m.kept++
	if back := m.back(); back > 0 {
		m.sample(back)
	}
}

// back returns how many frames ago the frame lies that is nearest to sampleLag before
// the newest, or 0 while there is none.
func (m *Meter) back() int {
	best, off := 0, math.Inf(1)
	for k := 1; k < min(m.kept, ringSize); k++ {
		d := math.Abs((m.ring[0].at-m.ring[k].at)/m.slow - sampleLag)
		if d < off {
			best, off = k, d
		}
	}
	// At the film's start the frame that is needed may lie before it.
	if best > 0 && best == m.kept-1 && (m.ring[0].at-m.ring[best].at)/m.slow < 0.7*sampleLag {
		return 0
	}
	return best
}

func (m *Meter) sample(back int) {
	now, then := m.ring[0], m.ring[back]
	shift := m.camera.follow(now.pix, then.pix)
	shift.Lag = float32(now.at - then.at)
	cells := m.differ.cells(now.pix, then.pix, shift)

	m.motion.Times = append(m.motion.Times, (now.at+then.at)/2)
	m.motion.Shifts = append(m.motion.Shifts, shift)
	m.motion.packed = pack(m.motion.packed, cells)
	m.motion.ends = append(m.motion.ends, len(m.motion.packed))
	m.novelty = append(m.novelty, likeness(now.pix, m.ring[1].pix, m.width, m.height))
	m.spans = append(m.spans, back)
}

// Motion returns what was measured, repeated frames mended. Call it once, after
// the last frame.
func (m *Meter) Motion() *Motion {
	mendRepeatedFrames(&m.motion, m.novelty, m.spans)
	return &m.motion
}
