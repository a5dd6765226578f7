package demo

import (
	"context"
	"errors"
	"image"
)

// Take is one planned bullpen: all is decided and the truth known, nothing is
// drawn yet. Its methods may be used by several goroutines.
type Take struct {
	o     Options
	truth Truth
}

// Plan decides a bullpen. It refuses options that cannot be drawn with a
// *bullpen.Error.
func Plan(o Options) (*Take, error) {
	return nil, errors.New("not written yet")
}

// Truth returns what really happened.
func (t *Take) Truth() Truth { return t.truth }

// Frames returns how many frames the film has.
func (t *Take) Frames() int { return t.truth.Clock.Frames() }

// Gray draws every frame small and gray, as area scaling of the film would make
// it, and calls each in order with the frame's index and file time in seconds
// from the first frame (truth.Clock.FileSeconds). width and height must have the
// film's aspect (160x90, 90x160); pixels are row by row, valid only during the call. Nothing is
// encoded: the marks that compression leaves are the one thing missing.
func (t *Take) Gray(ctx context.Context, width, height int, each func(frame int, seconds float64, pixels []byte) error) error {
	return errors.New("not written yet")
}

// Sound returns the sound track, mono, rate samples per file second; sample 0 is
// at the first frame's instant. Nil if the film has none.
func (t *Take) Sound(rate int) []int16 { return nil }

// Picture draws one frame as the film shows it (upright), for looking at.
func (t *Take) Picture(frame int) *image.YCbCr { return nil }

// Write draws the whole film and encodes it into path (H.264 and AAC in MP4 or
// MOV, by its extension). path appears only when complete.
func (t *Take) Write(ctx context.Context, path string) error { return errors.New("not written yet") }

// Write plans a bullpen and writes its film to path.
func Write(ctx context.Context, o Options, path string) (Truth, error) {
	t, err := Plan(o)
	if err != nil {
		return Truth{}, err
	}
	return t.Truth(), t.Write(ctx, path)
}
