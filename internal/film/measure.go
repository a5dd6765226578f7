package film

import (
	"context"
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// Measure decodes the film at path, which was read before, for its traces alone:
// when their method has changed, or its slow factor has. cut and clock are those
// that Read found; the clock's Slow is what the traces are measured for. sound is
// nil without sound. Errors are those of Read.
func Measure(ctx context.Context, path, name string, cut Cut, clock bullpen.Clock, progress func(done float64)) (*trace.Motion, *trace.Sound, error) {
	facts, err := Probe(ctx, path, name)
	if err != nil {
		return nil, nil, err
	}
	facts.Clock.Slow = clock.Slow
	r := reading{facts: facts, from: source{path: path, cut: cut}, progress: rising(progress)}
	p, err := r.decode(ctx)
	if err != nil {
		return nil, nil, blame(ctx, name, err)
	}
	if got := p.clock.Frames(); got != clock.Frames() {
		return nil, nil, fmt.Errorf("film %q has %d frames now and had %d", name, got, clock.Frames())
	}
	r.progress(1)
	return p.motion, p.sound, nil
}
