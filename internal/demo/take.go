package demo

import (
	"context"
	"image"

	"tenoff/internal/demo/motion"
	"tenoff/internal/demo/paint"
)

// Take is one planned bullpen: all is decided and the truth known, nothing is
// drawn yet. Its methods may be used by several goroutines.
type Take struct {
	o     Options
	truth Truth

	plate     float64 // metres from the rubber's front to the plate's rear point
	slots     []slot
	pitches   []pitch // one a rep
	pitcher   *motion.Actor
	players   []paint.Player // the pitcher first
	catcher   int            // index into players, 0 if nobody catches
	otherPops []float64      // when the neighbour's ball is caught, real seconds
	heard     []heard        // in order of time
	view      viewpoint
	shaking   shaking
	phone     motion.Vec
}

// Plan decides a bullpen. It refuses options that cannot be drawn with a
// *bullpen.Error.
func Plan(o Options) (*Take, error) {
	o, err := o.filled()
	if err != nil {
		return nil, err
	}
	t := &Take{o: o}
	if err := t.plan(); err != nil {
		return nil, err
	}
	return t, nil
}

// Truth returns what really happened.
func (t *Take) Truth() Truth { return t.truth }

// Frames returns how many frames the film has.
func (t *Take) Frames() int { return t.truth.Clock.Frames() }

// Picture draws one frame as the film shows it (upright), for looking at.
func (t *Take) Picture(frame int) *image.YCbCr {
	s := t.stage(t.o.Width, t.o.Height, 1, false)
	e := s.NewEasel()
	s.Draw(e, t.frame(frame, t.o.Width))
	return picture(e.Canvas)
}

func picture(c *paint.Canvas) *image.YCbCr {
	return &image.YCbCr{
		Y: c.Y, Cb: c.U, Cr: c.V, YStride: c.W, CStride: c.W / 2,
		SubsampleRatio: image.YCbCrSubsampleRatio420, Rect: image.Rect(0, 0, c.W, c.H),
	}
}

// Write plans a bullpen and writes its film to path.
func Write(ctx context.Context, o Options, path string) (Truth, error) {
	t, err := Plan(o)
	if err != nil {
		return Truth{}, err
	}
	return t.Truth(), t.Write(ctx, path)
}
