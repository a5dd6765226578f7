package posture

import (
	"errors"
	"math"
	"slices"
)

// Body is one delivery's joints as they moved: left and right repaired, wild points
// bridged, at even steps of time and smoothed. Lengths are in her own torso lengths.
type Body struct {
	Begin float64 // real seconds of the film at sample 0
	Rate  float64 // samples a second
	Torso float64 // picture heights from the middle of the hips to that of the shoulders
	// Forward is 1 where she pitches to the picture's right, -1 to its left.
	Forward float64
	// Bridged and Switched are the shares of points that were wild or missing and of
	// frames whose left and right were switched: how good the finding was.
	Bridged, Switched float64

	joints [Joints]path
}

// path is one joint's way, in torso lengths forward and up.
type path struct {
	x, y       []float64 // smoothed
	rawX, rawY []float64 // as they were found
	sure       []float64 // of the nearest frame
}

// Errors of Of, each a reason not to measure.
var (
	ErrNotSeen = errors.New("posture: her trunk is not seen through the delivery")
	ErrFew     = errors.New("posture: too few frames")
	ErrSmall   = errors.New("posture: she is too small in the picture")
	ErrStays   = errors.New("posture: she does not stride across the picture")
)

// Working values of Of.
const (
	leastFrames = 12
	leastSure   = 0.25 // of a point that is taken for seen
	// leastTorso is the least torso in picture heights: below, a person of 720p's height
	// is under 100 pixels tall, where ankles and knees are lost (seen on rendered films).
	leastTorso = 0.04
	// mostMissing is the longest gap that is bridged, seconds.
	mostMissing = 0.1
	// A point further than the larger of these from the middle of its neighbours is wild:
	// torso lengths, and shares of the neighbours' distance.
	wildTorso = 0.12
	wildSpan  = 0.9
	// leastWay is how far her hips travel forward in a delivery seen from the side, torso
	// lengths.
	leastWay = 0.5
)

// Of returns the body of a track. rate is how many frames a second the film was taken
// with.
func Of(t Track, rate float64) (*Body, error) {
	if len(t) < leastFrames {
		return nil, ErrFew
	}
	torso, ok := torsoOf(t)
	if !ok {
		return nil, ErrNotSeen
	}
	if torso < leastTorso {
		return nil, ErrSmall
	}
	t, switched := sides(t, torso)
	b := &Body{Begin: t[0].Seconds, Rate: rate, Torso: torso, Forward: 1, Switched: float64(switched) / float64(len(t))}
	n := int(math.Floor((t[len(t)-1].Seconds-b.Begin)*rate+1e-6)) + 1
	bridged := 0
	for j := range b.joints {
		x, y, sure := make([]float64, len(t)), make([]float64, len(t)), make([]float64, len(t))
		for i, p := range t {
			x[i], y[i], sure[i] = p.Points[j].X/torso, -p.Points[j].Y/torso, p.Points[j].Sure
		}
		bridged += bridge(t, x, y, sure)
		b.joints[j] = path{rawX: even(t, x, b.Begin, rate, n), rawY: even(t, y, b.Begin, rate, n), sure: nearest(t, sure, b.Begin, rate, n)}
	}
	b.Bridged = float64(bridged) / float64(len(t)*Joints)
	for j := range b.joints {
		p := &b.joints[j]
		p.x, p.y = lowPass(p.rawX, rate, cutoff(Joint(j))), lowPass(p.rawY, rate, cutoff(Joint(j)))
	}
	hips := b.hips()
	way := slices.Max(hips) - slices.Min(hips)
	if way < leastWay {
		return nil, ErrStays
	}
	if slices.Index(hips, slices.Max(hips)) < slices.Index(hips, slices.Min(hips)) {
		b.Forward = -1
		for j := range b.joints {
			p := &b.joints[j]
			for i := range p.x {
				p.x[i], p.rawX[i] = -p.x[i], -p.rawX[i]
			}
		}
	}
	return b, nil
}

// torsoOf returns the median torso length of the frames that show it; ok is false if they
// are fewer than half.
func torsoOf(t Track) (torso float64, ok bool) {
	var all []float64
	for _, p := range t {
		s, h := mid(p, LeftShoulder), mid(p, LeftHip)
		if min(s.Sure, h.Sure) >= leastSure {
			all = append(all, math.Hypot(s.X-h.X, s.Y-h.Y))
		}
	}
	if 2*len(all) < len(t) {
		return 0, false
	}
	slices.Sort(all)
	return all[len(all)/2], all[len(all)/2] > 0
}

// mid returns the middle of a joint and its other, as sure as the less sure one.
func mid(p Pose, j Joint) Point {
	a, b := p.Points[j], p.Points[j.Other()]
	return Point{X: (a.X + b.X) / 2, Y: (a.Y + b.Y) / 2, Sure: min(a.Sure, b.Sure)}
}

// bridge puts points that are not seen or wild onto the line between their neighbours,
// and returns how many. What is missing for longer stays unsure.
func bridge(t Track, x, y, sure []float64) int {
	good := make([]bool, len(t))
	for i := range t {
		good[i] = sure[i] >= leastSure
	}
	for i := 1; i+1 < len(t); i++ {
		if !good[i-1] || !good[i] || !good[i+1] {
			continue
		}
		span := math.Hypot(x[i+1]-x[i-1], y[i+1]-y[i-1])
		if math.Hypot(x[i]-(x[i-1]+x[i+1])/2, y[i]-(y[i-1]+y[i+1])/2) > max(wildTorso, wildSpan*span) {
			good[i] = false
		}
	}
	n := 0
	last := -1 // the last good one
	for i := 0; i <= len(t); i++ {
		if i < len(t) && !good[i] {
			n++
			continue
		}
		for k := last + 1; k < i; k++ {
			switch {
			case last >= 0 && i < len(t):
				w := (t[k].Seconds - t[last].Seconds) / (t[i].Seconds - t[last].Seconds)
				x[k], y[k] = x[last]+w*(x[i]-x[last]), y[last]+w*(y[i]-y[last])
				if t[i].Seconds-t[last].Seconds <= mostMissing {
					sure[k] = min(sure[last], sure[i])
				} else {
					sure[k] = 0
				}
			case last >= 0:
				x[k], y[k], sure[k] = x[last], y[last], 0
			case i < len(t):
				x[k], y[k], sure[k] = x[i], y[i], 0
			}
		}
		last = i
	}
	return n
}

// even resamples values at the track's times to n at even steps, on the lines between.
func even(t Track, v []float64, begin, rate float64, n int) []float64 {
	out := make([]float64, n)
	k := 0
	for i := range out {
		at := begin + float64(i)/rate
		for k+2 < len(t) && t[k+1].Seconds <= at {
			k++
		}
		w := min(max((at-t[k].Seconds)/(t[k+1].Seconds-t[k].Seconds), 0), 1)
		out[i] = v[k] + w*(v[k+1]-v[k])
	}
	return out
}

// nearest is even without mixing values.
func nearest(t Track, v []float64, begin, rate float64, n int) []float64 {
	out := make([]float64, n)
	k := 0
	for i := range out {
		at := begin + float64(i)/rate
		for k+1 < len(t) && t[k+1].Seconds-at <= at-t[k].Seconds {
			k++
		}
		out[i] = v[k]
	}
	return out
}

// hips returns how far forward the middle of the hips is, sample by sample.
func (b *Body) hips() []float64 {
	l, r := b.joints[LeftHip].x, b.joints[RightHip].x
	out := make([]float64, len(l))
	for i := range out {
		out[i] = (l[i] + r[i]) / 2
	}
	return out
}

// Len returns the number of samples.
func (b *Body) Len() int { return len(b.joints[0].x) }

func (b *Body) index(seconds float64) int {
	return min(max(int(math.Round((seconds-b.Begin)*b.Rate)), 0), b.Len()-1)
}

// between returns a series' value at a real second.
func (b *Body) between(v []float64, seconds float64) float64 {
	at := min(max((seconds-b.Begin)*b.Rate, 0), float64(len(v)-1))
	i := min(int(at), len(v)-2)
	return v[i] + (at-float64(i))*(v[i+1]-v[i])
}
