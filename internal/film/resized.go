package film

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"

	"tenoff/internal/proc"
)

// errResized ends the search for a change of size.
var errResized = errors.New("film: the picture's size changes")

// resized refuses a film whose picture changes its size midway, which no camera does
// and every mark and box on the picture hangs on; nil if it does not, or if that could
// not be found out.
func (r *reading) resized(ctx context.Context) error {
	var width, height, w, h, frames int
	args := append([]string{"-hide_banner", "-loglevel", "error", "-select_streams", fmt.Sprint(r.from.cut.Video),
		"-show_entries", "frame=width,height", "-of", "csv=p=0"}, SafeInput(r.from.path, r.from.cut.Container)...)
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffprobe", Args: args, Limit: readLimit(r.facts), Stdout: func(from io.Reader) error {
		for lines := bufio.NewScanner(from); lines.Scan(); frames++ {
			if n, _ := fmt.Sscanf(lines.Text(), "%d,%d", &w, &h); n < 2 {
				continue
			}
			if frames == 0 {
				width, height = w, h
			}
			if w != width || h != height {
				return errResized
			}
		}
		return nil
	}})
	if !errors.Is(err, errResized) {
		return nil
	}
	at := r.facts.Clock.FileSeconds(min(frames, r.facts.Clock.Frames()-1))
	return because(refused(r.facts.Name, "changes the size of its picture after %.1f s, from %d by %d to %d by %d pixels: cut it there and send the parts.",
		at, width, height, w, h), err)
}
