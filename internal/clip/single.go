package clip

import (
	"bytes"

	ff "github.com/u2takey/ffmpeg-go"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
)

// The repeat: the last half second before release, four times as long, then the
// release frame held.
const (
	repeatLead = rate / 2
	repeatSlow = 4
	repeatHold = 3 * rate / 4
)

// Names of files beside the film.
const (
	captionsName = "captions.ass"
	fontsDir     = "fonts"
)

// captionDelay is caption.ASSDelay in ticks.
const captionDelay = int(caption.ASSDelay * rate / 1e9)

// PlanSingle plans a clip of one rep. It fails with a *bullpen.Error when the
// release does not lie on the film or the window makes no sense.
func PlanSingle(s Single) (p Plan, err error) {
	defer recovered(&err)
	if err := s.check(); err != nil {
		return Plan{}, err
	}
	w, err := s.Window.filled()
	if err != nil {
		return Plan{}, err
	}
	main, end := mainStretch(s.Side, w)
	repeat, total := stretch{}, end
	times := caption.Times{Release: duration(main.at)}
	if s.Repeat {
		repeat, total = repeatStretch(s.Side, end)
		times.Repeat = duration(end)
	}
	times.End = duration(total)
	cues := caption.Compose(s.Facts, times, caption.Whole)
	z := fitSize(s.Source.aspect(), s.Source.Width, 1, cues, nil)

	in := s.Source.input(main.first, false)
	v := main.pick(in)
	if s.Repeat {
		v = picture{ff.Filter([]*ff.Stream{v.Stream, repeat.pick(s.Source.input(repeat.first, true)).Stream}, "interleave", ff.Args{"nb_inputs=2"})}
	}
	if main.crowded(end) {
		v = v.thin(rate/beat).then("trim", "end_frame="+itoa(total/beat))
	}
	streams := []*ff.Stream{v.fit(s.Source, z.width, z.height).caption(z).Stream}
	if s.Source.hasSound() {
		streams = append(streams, main.sound(in, end, total))
	}
	picture := caption.Sketch{Width: z.width, Height: z.height}
	step := int64(1)
	if main.crowded(end) {
		step = beat
	}
	sketches := main.sketches(s.Sketches, step, end, picture)
	if s.Repeat {
		sketches = append(sketches, repeat.sketches(s.Sketches, step, total, picture)...)
	}
	return finish(Plan{
		Args: output(streams...), Cues: cues, Sketches: sketches, Release: times.Release, Length: times.End,
	}, z, z.width)
}

// mainStretch is the window in real time and the tick it ends at.
func mainStretch(s Side, w Window) (stretch, int64) {
	factor := 1 / s.Source.slow()
	t := timeline{s.Source, s.Release, min(tenths(w.Before), lead(s.Source, s.Release, factor)), factor}
	end := t.at + tenths(w.After)
	if film := t.end(); film < end {
		end = max(film, min(end, t.at+hold))
	}
	end -= end % beat
	x := stretch{timeline: t, first: t.showing(0), last: t.due(end) - 1}
	x.cloneUntil(end)
	return x, end
}

// repeatStretch is the quarter-speed repeat from tick start on and the tick it
// ends at.
func repeatStretch(s Side, start int64) (stretch, int64) {
	factor := repeatSlow / s.Source.slow()
	at := start + min(repeatLead*repeatSlow, lead(s.Source, s.Release, factor))
	at += (tenth - at%tenth) % tenth
	t := timeline{s.Source, s.Release, at, factor}
	x := stretch{timeline: t, first: t.showing(start), last: s.Release, start: start}
	x.cloneUntil(at + repeatHold)
	return x, at + repeatHold
}

// crowded reports whether a stretch that ends at tick end has more frames than a
// clip shows. A film of 60 frames a second may run a little fast.
func (x stretch) crowded(end int64) bool {
	return int64(x.last-x.first)*rate > (60+1)*(end-max(x.frame(x.first), 0))
}

// cloneUntil holds the last frame until tick end: one more copy is shown a beat
// before it, when there is room for one. In a thinned clip it fills the beats
// between.
func (x *stretch) cloneUntil(end int64) {
	x.clone = end - beat
	if x.clone <= max(x.frame(x.last), x.start) {
		x.clone = 0
	}
}

// finish writes the files of a plan.
func finish(p Plan, z size, width int) (Plan, error) {
	var ass bytes.Buffer
	if err := caption.WriteASS(&ass, p.Cues, z.bar, p.Sketches...); err != nil {
		return Plan{}, &bullpen.Error{Code: bullpen.Internal, Message: "The captions of this clip could not be written; the log has the details.", Err: err}
	}
	p.Files = append(p.Files, File{captionsName, ass.Bytes()})
	for _, f := range caption.Fonts() {
		p.Files = append(p.Files, File{fontsDir + "/" + f.Name, f.TTF})
	}
	p.Width, p.Height, p.Bar = width, z.height+z.bar.Height, z.bar
	return p, nil
}
