package joints

import (
	"context"
	"errors"
	"runtime"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/posture"
)

// Version names how joints are found. What another version found is looked for anew.
const Version = 1

// Span is a run of frames of a film, both ends included.
type Span struct{ From, To int }

// Film is what a Finder has to know of a film.
type Film struct {
	Working       string // path of its working copy
	Clock         bullpen.Clock
	Width, Height int         // as shown
	Box           bullpen.Box // where she is, none if nobody knows
}

// Finder finds joints in films. It may be used by several goroutines; each search has a
// model of its own.
type Finder struct{ kit Kit }

// New returns a finder with what FindKit found.
func New(kit Kit) *Finder { return &Finder{kit: kit} }

// How much more of the picture than her box is looked at, in shares of it: she strides
// beyond where she mostly is, and her arm swings above.
const (
	besides = 0.6
	above   = 0.35
)

// tall is how many pixels high her surroundings are looked at: the model sees her with
// about half as many.
const tall = 640

// still is the mean difference of two frames, in steps of 1/255, below which the second
// repeats the first.
const still = 0.05

// Find hands a track for each span to each as soon as it is known, with a pose for every
// frame in it but those that repeat the one before, and ends with each's first error.
// progress, if not nil, is told the share done. It works at a low priority: what somebody
// waits for comes first.
func (f *Finder) Find(ctx context.Context, of Film, spans []Span, each func(span int, track posture.Track) error, progress func(done float64)) error {
	ended := make(chan error, 1)
	go func() {
		// The thread keeps its priority, so it is not given back: it ends with this function.
		runtime.LockOSThread()
		giveWay()
		ended <- f.find(ctx, of, spans, each, progress)
	}()
	return <-ended
}

func (f *Finder) find(ctx context.Context, of Film, spans []Span, each func(span int, track posture.Track) error, progress func(done float64)) (err error) {
	model, err := load(f.kit)
	if err != nil {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: "Her joints can't be looked for: the files in the folder joints don't fit; run `go run ./cmd/dev build` again.", Err: err}
	}
	defer func() { err = errors.Join(err, model.Close()) }()
	total, done := 0, 0
	for _, s := range spans {
		total += s.To - s.From + 1
	}
	for i, s := range spans {
		track, err := of.track(ctx, model, s, func() {
			if done++; progress != nil {
				progress(float64(done) / float64(total))
			}
		})
		if err != nil {
			return err
		}
		if err := each(i, track); err != nil {
			return err
		}
	}
	return nil
}

// around returns her box and what else of the picture is looked at.
func around(b bullpen.Box) bullpen.Box {
	if b.None() {
		return b
	}
	left, top := max(b.X-besides*b.Width, 0), max(b.Y-above*b.Height, 0)
	return bullpen.Box{X: left, Y: top, Width: min(b.X+(1+besides)*b.Width, 1) - left, Height: min(b.Y+(1+above)*b.Height, 1) - top}
}

// track follows her through one span.
func (of Film) track(ctx context.Context, with looker, s Span, looked func()) (posture.Track, error) {
	part := film.PartOf(of.Width, of.Height, around(of.Box), tall)
	whole := film.PartOf(of.Width, of.Height, bullpen.Box{}, 1<<20)
	shrunk := float64(part.Down) / float64(part.Height)
	scale := 1 / (float64(whole.Height) * shrunk)
	aspect := float64(whole.Width) / float64(whole.Height)
	left, top := float64(part.X)/float64(whole.Height), float64(part.Y)/float64(whole.Height)

	begin := square{x: float64(part.Across) / 2, y: float64(part.Down) / 2, side: float64(max(part.Across, part.Down))}
	if b := of.Box; !b.None() {
		// Heights of the picture, then pixels.
		begin = square{
			x: ((b.X+b.Width/2)*aspect - left) / scale, y: (b.Y + b.Height/2 - top) / scale,
			side: 1.25 * max(b.Width*aspect, b.Height) / scale,
		}
	}
	her := follow(with, begin)
	var track posture.Track
	var last []byte
	err := film.Frames(ctx, of.Working, of.Clock, s.From, s.To, part, func(frame int, rgb []byte) error {
		looked()
		if repeats(last, rgb) {
			return nil
		}
		last = append(last[:0], rgb...)
		body, where, err := her.next(Picture{Width: part.Across, Height: part.Down, RGB: rgb})
		if err != nil {
			return err
		}
		track = append(track, body.pose(frame, of.Clock.RealSeconds(0, frame), where, left, top, scale, aspect))
		return nil
	})
	return track, err
}

// repeats reports whether a frame shows what the last one did.
func repeats(last, rgb []byte) bool {
	if len(last) != len(rgb) {
		return false
	}
	sum := 0
	for i, v := range rgb {
		sum += max(int(v), int(last[i])) - min(int(v), int(last[i]))
	}
	return float64(sum) < still*float64(len(rgb))
}
