package tempo

import (
	"math"
	"slices"
)

// aroundMended is how far round an instant's pattern a mended frame may have led it
// astray, real seconds.
const aroundMended = 0.05

// mostAstray is how far, in real seconds, what is found on the marked reps themselves may
// lie from their marks: half a frame of 30 a second.
const mostAstray = 0.015

// doubtUnlikeMarks leaves no instant sure on any rep that is not found where it is marked: the
// marked rep is the one on which everybody knows where the instant is, and a pattern that
// leads elsewhere there leads anywhere on the others.
func doubtUnlikeMarks(out []Transferred, reps []Delivery) {
	for k := range instants {
		var off []float64
		for i := range out {
			if mark := *reps[i].Marked.list()[k]; !math.IsNaN(mark) {
				off = append(off, math.Abs(out[i].list()[k].Seconds-mark))
			}
		}
		slices.Sort(off)
		if len(off) > 0 && off[(len(off)-1)/2] <= mostAstray {
			continue
		}
		for i := range out {
			out[i].list()[k].Sure = false
		}
	}
}

// mostUnlike is how far, in real seconds, an instant may lie from where the others have it
// in her fastballs: a frame of 30 a second. Wild ones lie within 0.026.
const mostUnlike = 1.0 / 30

// doubtUnlikeFastballs leaves no instant sure on a fastball that is found elsewhere in the
// delivery than on the other fastballs, and on no rep where that is so of more than one in
// four. whole is where a rep's delivery as a whole has an instant of the template. Other
// pitches may be timed unlike fastballs, and are not held against them.
func doubtUnlikeFastballs(out []Transferred, reps []Delivery, whole func(i int, u float64) float64, ref Instants) {
	for k, u := range ref.list() {
		var off []float64
		for i := range out {
			if reps[i].Fast && out[i].list()[k].Sure {
				off = append(off, out[i].list()[k].Seconds-whole(i, *u))
			}
		}
		if len(off) < LeastFastballs {
			continue
		}
		slices.Sort(off)
		usual, unlike := off[len(off)/2], 0
		for i := range out {
			f := out[i].list()[k]
			if reps[i].Fast && f.Sure && math.Abs(f.Seconds-whole(i, *u)-usual) > mostUnlike {
				f.Sure = false
				unlike++
			}
		}
		if 4*unlike > len(off) {
			for i := range out {
				out[i].list()[k].Sure = false
			}
		}
	}
}

// instants is how many a delivery has.
const instants = 4

func (i *Instants) list() [instants]*float64 {
	return [instants]*float64{&i.Drive, &i.Plant, &i.Top, &i.Release}
}

func (t *Transferred) list() [instants]*Found {
	return [instants]*Found{&t.Drive, &t.Plant, &t.Top, &t.Release}
}

// leaveMended leaves no instant sure that was found where the film shows a frame twice
// and in no step: nobody knows what was left out there.
func (t *Transferred) leaveMended(r raw) {
	for k, s := range [instants]reach{driveReach, plantReach, topReach, releaseReach} {
		f := t.list()[k]
		if slices.ContainsFunc(r.mended, func(at float64) bool {
			return at > f.Seconds-s.before-aroundMended && at < f.Seconds+s.after+aroundMended
		}) {
			f.Sure = false
		}
	}
}
