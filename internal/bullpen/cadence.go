package bullpen

import "math"

// Cadence is how a film was re-timed by a program that showed one of every so many
// frames twice and left another one out: its pictures come a step late from the
// repeated frame on until the gap. The zero Cadence is a film's that was not.
type Cadence struct {
	Step    float64 // real seconds from frame to frame
	Every   int     // frames; 0 for a film that keeps no such cadence
	Repeats int     // frames whose index is that, modulo Every, repeat the one before
	Skips   int     // and these follow a gap
}

// Index returns the index of the frame shown at a real second of the film.
func (k Cadence) Index(seconds float64) int {
	return max(int(math.Floor(seconds/k.Step+0.5)), 0)
}

// Late returns by how much the picture shown at a real second comes later than the
// film's pictures on the whole do, seconds.
func (k Cadence) Late(seconds float64) float64 {
	if k.Every == 0 {
		return 0
	}
	after := func(from, i int) int { return ((i-from)%k.Every + k.Every) % k.Every }
	behind := after(k.Repeats, k.Skips)
	late := -float64(behind) / float64(k.Every)
	if after(k.Repeats, k.Index(seconds)) < behind {
		late++
	}
	return late * k.Step
}

// Taken returns when the picture shown at a real second was taken: real seconds of
// the film, as they would be had it not been re-timed.
func (k Cadence) Taken(seconds float64) float64 { return seconds - k.Late(seconds) }

// Shown returns the real second at which the picture taken at a real second is shown,
// the first time where it is shown twice; between two pictures across a gap, the second
// between their frames.
func (k Cadence) Shown(taken float64) float64 {
	if k.Every == 0 {
		return taken
	}
	early := -float64(((k.Skips-k.Repeats)%k.Every+k.Every)%k.Every) / float64(k.Every) * k.Step
	soon, later := taken+early, taken+early+k.Step
	const same = 1e-9 // seconds
	switch {
	case math.Abs(k.Late(soon)-early) < same:
		return soon
	case math.Abs(k.Late(later)-early-k.Step) < same:
		return later
	}
	return (soon + later) / 2
}

// Frame returns the frame of a film whose picture was taken nearest to a real second,
// the first of those that show the same one. c must have a frame.
func (k Cadence) Frame(c Clock, taken float64) int {
	at := c.At(taken * c.SlowFactor())
	best, least := at, math.Inf(1)
	for i := max(at-2, 0); i <= min(at+2, c.Frames()-1); i++ { // a picture is less than a step late
		if d := math.Abs(k.Taken(c.RealSeconds(0, i)) - taken); d < least {
			best, least = i, d
		}
	}
	if k.Every > 0 && best > 0 && k.Index(c.RealSeconds(0, best))%k.Every == k.Repeats {
		best--
	}
	return best
}
