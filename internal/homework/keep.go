package homework

import (
	"context"
	"errors"
	"fmt"
	"strconv"
	"time"
)

// KeepSetting is the setting that says for how many days after the answer the
// originals of a homework are kept; "" or 0: for good.
const KeepSetting = "keep homework originals"

// KeepDays returns that number for the academy that ctx is within, 0 for good.
func (h *Homework) KeepDays(ctx context.Context) (int, error) {
	text, err := h.store.Setting(ctx, KeepSetting)
	if err != nil || text == "" {
		return 0, err
	}
	days, err := strconv.Atoi(text)
	if err != nil {
		return 0, fmt.Errorf("setting %q: %w", KeepSetting, err)
	}
	return days, nil
}

// Trim lets go of the originals of homework that was answered long enough ago, in
// every academy that set a time. What was made of them stays.
func (h *Homework) Trim(ctx context.Context) error {
	return h.store.InEach(ctx, h.trim)
}

func (h *Homework) trim(ctx context.Context) error {
	days, err := h.KeepDays(ctx)
	if err != nil || days <= 0 {
		return err
	}
	loose, err := h.store.TrimHomework(ctx, h.now().Add(-time.Duration(days)*24*time.Hour).UnixMicro())
	if err != nil {
		return err
	}
	if len(loose) > 0 {
		h.log.InfoContext(ctx, "originals of answered homework are removed", "files", len(loose))
	}
	h.intake.Discard(ctx, loose)
	return nil
}

// Tend sweeps, trims and purges until ctx ends, at once and then every so often. What
// came whole before the program began has no sender that waits for an answer.
func (h *Homework) Tend(ctx context.Context) error {
	tick := time.NewTicker(every)
	defer tick.Stop()
	sweep := func(ctx context.Context) error { return h.sweep(ctx, 0) }
	if !h.store.Ours() { // others may be taking in what came
		sweep = h.Sweep
	}
	for ; ; sweep = h.Sweep {
		if err := errors.Join(sweep(ctx), h.Trim(ctx), h.intake.Purge(ctx)); err != nil && ctx.Err() == nil {
			h.log.WarnContext(ctx, "what is over can't be cleared away; it is tried again", "err", err)
		}
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

// every is how often uploads, originals and deleted reps are looked at.
const every = 10 * time.Minute
