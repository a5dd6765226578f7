package film

import (
	"context"
	"fmt"

	"tenoff/internal/proc"
	"tenoff/internal/trace"
)

// Hear listens to the sound of a film alone, which takes seconds where its pictures
// take minutes; nil for a film without sound. facts are Probe's. What it hears is what
// Read would hear, and can be given to it. Errors are those of Read.
func Hear(ctx context.Context, path string, facts Facts) (*trace.Sound, error) {
	if facts.Cut.Audio < 0 {
		return nil, nil
	}
	listen := newListener(facts.Clock.Slow)
	args := append([]string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y", "-copyts", "-vn", "-sn", "-dn"}, SafeInput(path, facts.Cut.Container)...)
	args = append(args, "-map", fmt.Sprintf("0:%d", facts.Cut.Audio), "-af", soundFilter(facts, facts.Cut, earSound), "-ac", "1", "-f", "s16le", pipe(clockPipe))
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: args, Limit: probeLimit, Pipes: []proc.Pipe{{Read: listen.read}}})
	if err != nil {
		return nil, blame(ctx, facts.Name, err)
	}
	return listen.ear.Sound(), nil
}
