package shelf

import (
	"math"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
	"tenoff/internal/texts"
)

// Lines are drawn so long before and after the release, real seconds, where the drive is
// not known.
const (
	linesBefore = 0.6
	linesAfter  = 0.2
)

// The inks of lines, among those of a drawing.
const (
	trunkInk = 0
	hipsInk  = 3
)

// lines draws her trunk and her hips over every frame of a delivery, with the numbers of
// the last of the four instants that was: none where her joints are not seen.
func (x shot) lines(track posture.Track) []clip.Sketch {
	if len(track) < 2 {
		return nil
	}
	body, err := posture.Of(track, track.Rate())
	if err != nil {
		return nil
	}
	c, release := x.film.Clock, x.film.Clock.RealSeconds(0, x.rep.Release)
	numbers := x.said(body, release)
	from := release - linesBefore
	if len(numbers) > 0 {
		from = min(from, numbers[0].at)
	}
	var out []clip.Sketch
	for _, p := range track {
		if p.Seconds < from || p.Seconds > release+linesAfter {
			continue
		}
		l, ok := body.LinesAt(p.Seconds, release)
		if !ok {
			continue
		}
		shapes := []bullpen.Shape{
			{Kind: bullpen.LineShape, Points: x.points(l.Trunk[:]), Colour: trunkInk},
			{Kind: bullpen.LineShape, Points: x.points(l.Hips[:]), Colour: hipsInk},
		}
		for _, n := range numbers {
			if n.frame <= p.Frame { // the last one stays
				shapes = append(shapes[:2],
					bullpen.Shape{Kind: bullpen.NoteShape, Points: x.points(l.Trunk[1:]), Colour: trunkInk, Text: n.lean},
					bullpen.Shape{Kind: bullpen.NoteShape, Points: x.points(l.Trunk[:1]), Colour: hipsInk, Text: n.hips})
			}
		}
		out = append(out, clip.Sketch{Frame: p.Frame, Shapes: shapes, Moving: true})
	}
	return bridged(out, c)
}

// bridged gives frames that repeat the one before them, and so have no pose, its lines.
func bridged(lines []clip.Sketch, c bullpen.Clock) []clip.Sketch {
	var out []clip.Sketch
	for i, l := range lines {
		out = append(out, l)
		if i+1 == len(lines) {
			break
		}
		for frame := l.Frame + 1; frame < lines[i+1].Frame && c.RealSeconds(l.Frame, frame) < 0.1; frame++ {
			out = append(out, clip.Sketch{Frame: frame, Shapes: l.Shapes, Moving: true})
		}
	}
	return out
}

// number is what is said of one instant, from its frame on.
type number struct {
	at         float64
	frame      int
	lean, hips string
}

// said says the lean and the hips' width at those of the four instants that are known, in
// their order.
func (x shot) said(body *posture.Body, release float64) (out []number) {
	l := caption.LanguageOf(x.of.Pitcher)
	pace, _ := x.of.Body.Rep(x.rep.ID)
	for _, e := range judged.Instants {
		at, frame := release, x.rep.Release
		if e != bullpen.Release {
			m, last := pace.Moments.At(e), pace.Moments.Release
			if m == nil || last == nil {
				continue
			}
			at = release - (last.Seconds - m.Seconds)
			frame = x.film.Clock.At(at * x.film.Clock.SlowFactor())
		}
		if lines, ok := body.LinesAt(at, release); ok {
			out = append(out, number{at, frame,
				l.Say("lines.at", texts.V{"instant": judged.InstantName(l, e), "degrees": lines.LeanSaid()}),
				l.Say("lines.hips", texts.V{"share": math.Round(100 * lines.HipsWide)})})
		}
	}
	return out
}

// points turns heights of the picture into shares of its width and height.
func (x shot) points(of []posture.Point) []bullpen.Point {
	aspect := float64(x.film.Width) / float64(x.film.Height)
	out := make([]bullpen.Point, len(of))
	for i, p := range of {
		out[i] = bullpen.Point{p.X / aspect, p.Y}
	}
	return out
}
