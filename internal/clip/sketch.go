package clip

import (
	"tenoff/internal/caption"
)

// sketched is how long a sketch is on show from its frame on, unless another begins
// sooner. The film goes on under it: a frame that was held would move what comes
// after it, the release too.
const sketched = rate

// sketches says when those of the sketches that lie in the stretch are on show: each
// from the tick on at which its frame is, no later than tick end. Frames are shown
// on multiples of step ticks. One that moves goes with its frame; of the last frame, which
// is held, it stays. picture says where the film lies in the clip.
func (x stretch) sketches(list []Sketch, step, end int64, picture caption.Sketch) []caption.Sketch {
	var out []caption.Sketch
	drawn := -1 // the last one that somebody drew
	on := func(tick int64) int64 {
		tick = max(tick, x.start, 0)
		return tick + (step-tick%step)%step
	}
	for _, k := range list {
		if k.Frame < x.first || k.Frame > x.last {
			continue
		}
		start := on(x.frame(k.Frame))
		stop := start + sketched
		switch {
		case k.Moving && k.Frame == x.last:
			stop = end
		case k.Moving:
			stop = on(x.frame(k.Frame + 1))
		case drawn >= 0:
			out[drawn].End = min(out[drawn].End, duration(start))
		}
		if stop = min(stop, end); stop <= start {
			continue
		}
		if !k.Moving {
			drawn = len(out)
		}
		picture.Start, picture.End, picture.Shapes = duration(start), duration(stop), k.Shapes
		out = append(out, picture)
	}
	return out
}

// cell says where a film lies that is fitted into one of a pair's cells.
func (z size) cell(s Source, at int) caption.Sketch {
	w, h := s.within(z.width, z.height)
	return caption.Sketch{Left: at*z.width + (z.width-w)/2, Top: (z.height - h) / 2, Width: w, Height: h}
}
