package clip

import (
	"fmt"
	"math"
	"slices"
	"time"

	ff "github.com/u2takey/ffmpeg-go"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/texts"
)

// speeds are the rates a pair can be played at.
var speeds = []float64{1, 0.5, 0.25, 0.125}

// PlanPair plans two reps in one picture, their release frames on show from the
// same frame of the clip on. Films of different rates meet on one beat: 60 frames
// a second, or 30 where neither has more. A film that begins later or ends sooner
// than the other stands still there.
func PlanPair(p Pair) (plan Plan, err error) {
	defer recovered(&err)
	for _, side := range []Side{p.Left, p.Right} {
		if err := side.check(); err != nil {
			return Plan{}, err
		}
	}
	w, err := p.Window.filled()
	if err != nil {
		return Plan{}, err
	}
	if p.Speed == 0 {
		p.Speed = 1
	}
	if !slices.Contains(speeds, p.Speed) {
		return Plan{}, bullpen.Errorf(bullpen.Invalid, "A side by side plays at full, half, quarter or eighth speed; choose one of them.")
	}
	if p.Stretch == 0 {
		p.Stretch = 1
	}
	if !(p.Stretch >= 0.5 && p.Stretch <= 2) {
		return Plan{}, bullpen.Errorf(bullpen.Invalid, "A rep can be played at half to twice its speed to be laid beside another; these two differ by more.")
	}
	left, right, end := p.align(w)
	fps := max(left.fps(end), right.fps(end))
	frames := int(end * int64(fps) / rate)
	cues := p.cues(left.at, end, frames, fps)
	if p.Chart != nil {
		chart := *p.Chart
		chart.Release, chart.End, chart.Speed = duration(left.at), duration(end), p.Speed
		p.Chart = &chart
	}
	over := p.Blend || p.Difference
	across := 2
	if over {
		across = 1
	}
	z := p.size(across, cues)

	lin, rin := p.Left.Source.input(left.first, false), p.Right.Source.input(right.first, true)
	both := []*ff.Stream{left.cell(lin, frames, fps, z).Stream, right.cell(rin, frames, fps, z).Stream}
	v := picture{}
	switch {
	case p.Difference:
		// Black where both are alike, in gray: differences of colour would be tinted.
		// Twice as bright as they are, or the body is hard to see on a phone.
		v = picture{ff.Filter(both, "blend", ff.Args{"all_mode=difference:shortest=1"})}.
			then("lutyuv", "y=clip(2*val+16,16,235)", "u=128", "v=128")
	case p.Blend:
		v = picture{ff.Filter(both, "blend", ff.Args{"all_mode=average:shortest=1"})}
	default:
		v = picture{ff.Filter(both, "hstack", ff.Args{"inputs=2:shortest=1"})}
	}
	streams := []*ff.Stream{v.caption(z).Stream}
	if a := p.sound(left, right, lin, rin, end); a != nil {
		streams = append(streams, a)
	}
	step := rate / int64(fps)
	sketches := append(left.sketches(p.Left.Sketches, step, end, z.cell(p.Left.Source, 0)),
		right.sketches(p.Right.Sketches, step, end, z.cell(p.Right.Source, across-1))...)
	return finish(Plan{
		Args: output(streams...), Cues: cues, Sketches: sketches, Release: duration(left.at), Length: duration(end),
	}, z, z.width*across)
}

// align gives both sides one release tick, a whole tenth of a real second after
// the clip's start, and says where the clip ends. The side with more film before
// release decides how long before, up to the window; after it likewise.
func (p Pair) align(w Window) (left, right stretch, end int64) {
	played := [2]float64{p.Stretch, 1}
	factor := func(i int, s Source) float64 { return 1 / s.slow() / p.Speed / played[i] }
	slower := int64(math.Round(1 / p.Speed))
	var have int64
	for i, s := range []Side{p.Left, p.Right} {
		have = max(have, lead(s.Source, s.Release, factor(i, s.Source)*p.Speed))
	}
	at := min(tenths(w.Before), have) * slower
	end = at + tenths(w.After)*slower
	sides := [2]stretch{}
	var film int64
	for i, s := range []Side{p.Left, p.Right} {
		sides[i].timeline = timeline{s.Source, s.Release, at, factor(i, s.Source)}
		film = max(film, sides[i].end())
	}
	if film < end {
		end = max(film, min(end, at+hold*slower))
	}
	end -= end % (2 * beat)
	for i := range sides {
		x := &sides[i]
		x.first, x.last, x.clone = x.showing(0), x.due(end)-1, end
	}
	return sides[0], sides[1], end
}

// fps is the beat the stretch needs.
func (x stretch) fps(end int64) int {
	if int64(x.last-x.first)*rate > (30+1)*(end-max(x.frame(x.first), 0)) {
		return 60
	}
	return 30
}

// cell brings one side to the clip's beat and into its cell. Whichever of both
// leaves fewer pixels to move comes first.
func (x stretch) cell(in *ff.Stream, frames, fps int, z size) picture {
	w, h := x.source.within(z.width, z.height)
	v := x.pick(in)
	thin := func(v picture) picture { return v.thin(fps).then("trim", "end_frame="+itoa(int64(frames))) }
	fit := func(v picture) picture {
		return v.fit(x.source, w, h).
			then("pad", fmt.Sprintf("w=%d", z.width), fmt.Sprintf("h=%d", z.height), "x=(ow-iw)/2", "y=(oh-ih)/2", "color=black")
	}
	if x.last-x.first > frames {
		return fit(thin(v))
	}
	return thin(fit(v))
}

// size gives both sides cells of one size whose aspect is the geometric mean of
// theirs: alike films fill them, a wide and a high one share the loss.
func (p Pair) size(across int, cues []caption.Cue) size {
	l, r := p.Left.Source, p.Right.Source
	return fitSize(math.Sqrt(l.aspect()*r.aspect()), max(l.Width, r.Width), across, cues, p.Chart)
}

func (p Pair) cues(at, end int64, frames, fps int) []caption.Cue {
	t := caption.Times{Release: duration(at), End: duration(end)}
	var cues []caption.Cue
	cues = append(cues, caption.Compose(p.Left.Facts, t, caption.Left)...)
	if p.Stretch != 1 {
		for i := range cues {
			words := p.Left.Facts.Language.Say("caption.stretched", texts.V{"times": fmt.Sprintf("%.2f", p.Stretch)})
			cues[i].Rows = append(cues[i].Rows, caption.Row{{Text: words, Tone: caption.Aside}})
		}
	}
	cues = append(cues, caption.Compose(p.Right.Facts, t, caption.Right)...)
	slices.SortStableFunc(cues, func(a, b caption.Cue) int { return int((a.Start - b.Start) / time.Millisecond) })
	return append(cues, caption.ClockCues(p.Left.Facts.Language, t, frames, fps, p.Speed)...)
}

// sound mixes both films' sound, so that the two pops are heard one after the
// other; a clip that plays slower has none.
func (p Pair) sound(left, right stretch, lin, rin *ff.Stream, end int64) *ff.Stream {
	if p.Speed != 1 {
		return nil
	}
	var heard []*ff.Stream
	if p.Left.Source.hasSound() && p.Stretch == 1 {
		heard = append(heard, left.sound(lin, end, end))
	}
	if p.Right.Source.hasSound() {
		heard = append(heard, right.sound(rin, end, end))
	}
	switch len(heard) {
	case 0:
		return nil
	case 1:
		return heard[0]
	}
	return ff.Filter(heard, "amix", ff.Args{"inputs=2"})
}
