package film

import (
	"context"
	"io"
	"os"
	"path/filepath"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
	"tenoff/internal/trace"
)

// passed is what one decoding pass yields; without a folder there is no working copy.
type passed struct {
	clock   bullpen.Clock
	first   int64 // frame 0's own tick
	growing *Growing
	strip   gatherer
	motion  *trace.Motion
	sound   *trace.Sound // nil without sound
	said    string       // what ffmpeg complained about
}

// decode runs the decoding pass, or only what traces need if there is no folder to
// make anything in.
func (r *reading) decode(ctx context.Context) (_ passed, err error) {
	working := r.temp != ""
	args, err := plan(r.facts, r.from, working)
	if err != nil {
		return passed{}, err
	}
	frames := r.facts.Clock.Frames()
	// One frame a packet; more is a file that means to flood us.
	ticks := newTicker(frames + frames/50 + 16)
	watch := newWatcher(r.facts, ticks)
	watch.seen = r.along.Seen
	p := passed{strip: gatherer{every: stripEvery(r.facts.Seconds())}}
	cmd := proc.Cmd{
		Name: "ffmpeg", Args: args, Limit: readLimit(r.facts), Nice: r.facts.Long(),
		// In the order of the pipes' numbers.
		Pipes:    []proc.Pipe{{Read: ticks.read}, {Read: watch.read}},
		Progress: func(g proc.Progress) { r.progress(0.98 * float64(g.Frames) / float64(frames)) },
	}
	if working {
		if p.growing, err = r.grow(ticks); err != nil {
			return passed{}, err
		}
		defer func() {
			if err != nil {
				p.growing.Close()
			}
		}()
		take := func(from io.Reader) error { return p.growing.take(from, r.along.Grown) }
		cmd.Pipes = append(cmd.Pipes, proc.Pipe{Read: take}, proc.Pipe{Read: p.strip.read})
	}
	listen := newListener(r.facts.Clock.Slow)
	if r.from.cut.Audio >= 0 && !r.from.heard {
		cmd.Pipes = append(cmd.Pipes, proc.Pipe{Read: listen.read})
	}
	result, err := proc.Run(ctx, cmd)
	if err != nil {
		return passed{}, err
	}
	p.said = result.Stderr
	p.clock, p.first = ticks.clock(r.facts.Clock)
	p.motion = watch.meter.Motion()
	switch {
	case r.from.heard:
		p.sound = r.facts.Heard
	case r.from.cut.Audio >= 0:
		p.sound = listen.ear.Sound()
	}
	return p, nil
}

// grow begins the working copy. Its frames are compared with what the film itself
// promises, also in a second pass.
func (r *reading) grow(ticks *ticker) (*Growing, error) {
	path := filepath.Join(r.temp, workingName)
	if err := os.RemoveAll(path); err != nil { // of a pass that went before
		return nil, err
	}
	return newGrowing(r.facts, r.facts.Cut.FirstTick, path, ticks.begins)
}
