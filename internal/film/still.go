package film

import (
	"bytes"
	"context"
	"io"
	"strconv"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
)

// Still returns frame i of a film, which must lie in [0, Frames()), as a JPEG: from
// its working copy at path, in the working copy's size. c is the film's clock.
func Still(ctx context.Context, path string, c bullpen.Clock, i int) ([]byte, error) {
	args := toFrame(c, i)
	args = append(args, SafeInput(path, mov)...)
	args = append(args, "-frames:v", "1", "-an", "-c:v", "mjpeg", "-q:v", "3", "-f", "image2pipe", "pipe:1")
	var out bytes.Buffer
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: args, Limit: probeLimit, Stdout: func(r io.Reader) error {
		_, err := io.Copy(&out, r)
		return err
	}})
	if err == nil && out.Len() == 0 {
		err = bullpen.Errorf(bullpen.Unavailable, "Frame %d can't be shown; read the film again.", i)
	}
	return out.Bytes(), err
}

// toFrame are the arguments that send ffmpeg to a frame of a working copy. Of frames that
// follow the one before, it shows the first at or after the time that it is sent to: half
// way between the two is safe from rounding.
func toFrame(c bullpen.Clock, i int) []string {
	at := int64(0)
	if ticks := WorkingTicks(c); i > 0 {
		at = (ticks[i-1] + ticks[i]) / 2
	}
	return []string{"-hide_banner", "-loglevel", "error", "-nostdin", "-ss", strconv.FormatFloat(float64(at)/WorkingRate, 'f', 6, 64)}
}
