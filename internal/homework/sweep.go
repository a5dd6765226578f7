package homework

import (
	"context"
	"errors"
	"io/fs"
	"slices"
	"time"

	"tenoff/internal/bullpen"
)

const (
	// forgotten is how long an upload may wait to go on.
	forgotten = 7 * 24 * time.Hour
	// remembered is how long it is known of one that was taken in.
	remembered = 24 * time.Hour
	// grace is how long what is on its way waits for an expired slip to be renewed.
	grace = 24 * time.Hour
)

// Sweep takes in what came whole and was not taken in, and removes uploads that
// nobody will go on with: of no homework, of one whose slips are closed, or left
// alone for a week.
func (h *Homework) Sweep(ctx context.Context) error { return h.sweep(ctx, time.Minute) }

// sweep is Sweep; what came whole is left to its sender's own request for a while.
func (h *Homework) sweep(ctx context.Context, leave time.Duration) error {
	list, err := h.kept.uploads(ctx, "")
	if err != nil {
		return err
	}
	known := map[string]bool{}
	var errs []error
	for _, u := range list {
		known[u.id] = true
		errs = append(errs, h.look(ctx, u, leave))
	}
	return errors.Join(append(errs, h.kept.clear(ctx, known))...)
}

// look does with one upload what is due.
func (h *Homework) look(ctx context.Context, u upload, leave time.Duration) error {
	age := h.now().Sub(u.changed) // less than none where the clock was set back
	wanted, err := h.wanted(ctx, u)
	switch {
	case err != nil:
		return err
	case !wanted:
		return h.locked(ctx, u.id, func() error { return h.kept.drop(ctx, u.id) })
	case u.whole() && !u.taken && (age < 0 || age >= leave):
		return h.locked(ctx, u.id, func() error { return h.take(ctx, u.id) })
	}
	return nil
}

// locked does something to an upload while nobody sends any of it; if somebody does,
// it is left for the next time.
func (h *Homework) locked(ctx context.Context, id string, do func() error) error {
	lock, err := h.locks.NewLock(id)
	if err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), h.patience)
	defer cancel()
	if err := lock.Lock(ctx, func() {}); err != nil {
		return nil
	}
	return errors.Join(do(), lock.Unlock())
}

func (h *Homework) wanted(ctx context.Context, u upload) (bool, error) {
	age := h.now().Sub(u.changed)
	if u.taken {
		return age < remembered, nil
	}
	ctx, _, err := h.whose(ctx, u.id)
	if err != nil {
		if bullpen.CodeOf(err) == bullpen.NotFound {
			return false, nil
		}
		return false, err
	}
	slips, err := h.store.Slips(ctx, Of(u.id))
	if err != nil {
		return false, err
	}
	for _, s := range slips {
		if s.Closed == 0 && s.Expires > h.now().Add(-grace).UnixMicro() {
			return age < forgotten, nil
		}
	}
	return false, nil
}

// Forget removes the uploads of homework that is gone or whose slips were closed,
// and counts them. Whoever sends one is cut off. It is called within Still, or an
// upload that is just beginning is overlooked.
func (h *Homework) Forget(ctx context.Context, homeworkIDs ...string) (n int, err error) {
	ctx = context.WithoutCancel(ctx)
	var errs []error
	for _, id := range homeworkIDs {
		list, err := h.kept.uploads(ctx, id)
		errs = append(errs, err)
		for _, u := range list {
			if !u.taken {
				n++
			}
			h.ending.Store(u.id, true)
			// Who does not let go in time is at its end, and finds nothing there.
			errs = append(errs, h.locked(over(ctx), u.id, func() error { return nil }), h.kept.drop(ctx, u.id))
			h.ending.Delete(u.id)
		}
	}
	return n, errors.Join(errs...)
}

// whyLetGo is what whoever sends an upload is told when it has to let go.
func (h *Homework) whyLetGo(id string) error {
	if _, ends := h.ending.Load(id); ends {
		return errGivenUp
	}
	return errElsewhere
}

// Count counts the uploads under way of some homework, and the bytes they take.
func (h *Homework) Count(ctx context.Context, homeworkIDs ...string) (n int, bytes int64, err error) {
	for _, id := range homeworkIDs {
		list, err := h.Arriving(ctx, id)
		if err != nil {
			return n, bytes, err
		}
		n += len(list)
		for _, a := range list {
			bytes += a.Received
		}
	}
	return n, bytes, nil
}

// Strays lists what lies among the uploads and belongs to no upload of a homework there is,
// by name.
func (h *Homework) Strays(ctx context.Context) ([]string, error) {
	out, ids, err := h.kept.strays(ctx)
	if err != nil {
		return nil, err
	}
	ctx = waiting(ctx, nil) // what is not seen this time is no stray
	for name, id := range ids {
		u, err := h.kept.upload(ctx, id)
		if errors.Is(err, fs.ErrNotExist) {
			continue // it went meanwhile
		}
		if err != nil {
			return nil, err
		}
		_, _, err = h.whose(ctx, id)
		if bullpen.CodeOf(err) == bullpen.NotFound && !u.taken {
			out = append(out, name)
		} else if err != nil && bullpen.CodeOf(err) != bullpen.NotFound {
			return nil, err
		}
	}
	slices.Sort(out)
	return out, nil
}
