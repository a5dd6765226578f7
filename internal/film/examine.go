package film

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"tenoff/internal/proc"
)

// errLost says that the pass ended well and left out too many of the film's frames.
var errLost = errors.New("film: too many frames were not decoded")

// errMoved says that the working copy does not have the frames that were decoded.
var errMoved = errors.New("film: the working copy has other frames")

// why returns the error of a reading that failed with err. Whether the film is to
// blame is not told from err: a filter, an encoder or the machine may have failed on
// a film that is sound. Only where decoding the pictures and nothing else fails as
// well is the film refused.
func (r *reading) why(ctx context.Context, err error) error {
	exit, failed := errors.AsType[*proc.ExitError](err)
	if failed && exit.Code > 0 && exit.Code != interrupted || errors.Is(err, errLost) || errors.Is(err, errMoved) {
		if refusal := r.examine(ctx); refusal != nil {
			return refusal
		}
		if refusal := r.resized(ctx); refusal != nil {
			return refusal
		}
	}
	return blame(ctx, r.facts.Name, err)
}

// examine decodes the film's pictures by themselves: no filter, no encoder, no file
// is written. It returns a refusal if they can't be decoded, and nil if they can be
// or if that could not be found out.
func (r *reading) examine(ctx context.Context) error {
	ticks := newTicker(MaxFrames)
	args := append([]string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y", "-copyts"}, SafeInput(r.from.path, r.from.cut.Container)...)
	args = append(args, "-map", fmt.Sprintf("0:%d", r.from.cut.Video), "-c:v", "wrapped_avframe", "-flush_packets", "1",
		"-fps_mode", "passthrough", "-enc_time_base", fmt.Sprintf("%d:%d", r.facts.Clock.Num, r.facts.Clock.Den),
		"-f", "framecrc", pipe(clockPipe))
	result, err := proc.Run(ctx, proc.Cmd{
		Name: "ffmpeg", Args: args, Limit: readLimit(r.facts), Pipes: []proc.Pipe{{Read: ticks.read}},
	})
	exit, failed := errors.AsType[*proc.ExitError](err)
	switch {
	case failed && exit.Code > 0 && exit.Code != interrupted && corrupt(exit.Stderr):
		return damaged(r.facts.Name, err)
	case err != nil || machine(result.Stderr) != "":
		return nil // it may be the machine that is to blame
	}
	got, _ := ticks.clock(r.facts.Clock)
	slices.Sort(got.Ticks)
	got.Ticks = slices.Compact(got.Ticks) // the pass leaves out those whose time does not rise
	return r.complete(got)
}
