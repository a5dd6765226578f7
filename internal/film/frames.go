package film

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
)

// Part is a part of a film's working copy, in its pixels, and the size that it is shown
// in.
type Part struct {
	X, Y, Width, Height int
	Across, Down        int
}

// PartOf returns the part of the working copy of a film shown width x height that box
// covers, in a size such that it is tall pixels high, or in its own where that is less.
// The zero box is the whole picture.
func PartOf(width, height int, box bullpen.Box, tall int) Part {
	w, h := workingSize(width, height)
	if box.None() {
		box = bullpen.Box{Width: 1, Height: 1}
	}
	// Even numbers: colours are kept for two by two pixels.
	along := func(from, size float64, whole int) (at, n int) {
		at = 2 * int(math.Floor(max(from, 0)*float64(whole)/2))
		end := min(2*int(math.Ceil(min(from+size, 1)*float64(whole)/2)), whole)
		return at, max(end-at, 2)
	}
	p := Part{}
	p.X, p.Width = along(box.X, box.Width, w)
	p.Y, p.Height = along(box.Y, box.Height, h)
	scale := min(1, float64(tall)/float64(p.Height))
	p.Across, p.Down = max(int(math.Round(float64(p.Width)*scale)), 2), max(int(math.Round(float64(p.Height)*scale)), 2)
	return p
}

// errFrames is what a working copy gives that has fewer frames than its clock.
var errFrames = errors.New("film: frames are missing in the working copy")

// Frames shows each the frames from to to, both within [0, Frames()), of a film's working
// copy at path: the part of them, as rows of red, green and blue bytes that are good
// until each returns. c is the film's clock. It gives way to what somebody waits for.
func Frames(ctx context.Context, path string, c bullpen.Clock, from, to int, part Part, each func(frame int, rgb []byte) error) error {
	args := toFrame(c, from)
	args = append(args, SafeInput(path, mov)...)
	args = append(args, "-frames:v", strconv.Itoa(to-from+1), "-an", "-fps_mode", "passthrough",
		"-vf", fmt.Sprintf("crop=%d:%d:%d:%d,scale=%d:%d:flags=area", part.Width, part.Height, part.X, part.Y, part.Across, part.Down),
		"-pix_fmt", "rgb24", "-f", "rawvideo", "pipe:1")
	shown := 0
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: args, Limit: 10 * time.Minute, Nice: true, Stdout: func(r io.Reader) error {
		rgb := make([]byte, part.Across*part.Down*3)
		for ; from+shown <= to; shown++ {
			if _, err := io.ReadFull(r, rgb); errors.Is(err, io.EOF) {
				return nil
			} else if err != nil {
				return err
			}
			if err := each(from+shown, rgb); err != nil {
				return err
			}
		}
		return nil
	}})
	if err == nil && shown != to-from+1 {
		err = fmt.Errorf("%w: %d of %d from frame %d on", errFrames, shown, to-from+1, from)
	}
	return err
}
