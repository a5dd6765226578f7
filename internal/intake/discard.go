package intake

import (
	"context"

	"tenoff/internal/store"
)

// Discard removes those of the files that nothing names any more.
func (in *Intake) Discard(ctx context.Context, files []store.File) { in.discard(ctx, files) }

// discard removes those of the files that nothing names, and then forgets them. It
// asks the store first, because an error after a commit does not mean that nothing
// was committed. What fails here is tried again when the program starts.
func (in *Intake) discard(ctx context.Context, files []store.File) {
	if len(files) == 0 {
		return
	}
	ctx = context.WithoutCancel(ctx)
	keys := make([]string, len(files))
	for i, f := range files {
		keys[i] = f.Key
	}
	loose, err := in.store.StillLoose(ctx, keys...)
	if err != nil {
		in.log.WarnContext(ctx, "which files to remove can't be read", "err", err)
		return
	}
	var gone []string
	for _, key := range loose {
		if err := in.blobs.Delete(ctx, key); err != nil {
			in.log.WarnContext(ctx, "a file can't be removed", "key", key, "err", err)
			continue
		}
		gone = append(gone, key)
	}
	if err := in.store.Forget(ctx, gone...); err != nil {
		in.log.WarnContext(ctx, "files can't be forgotten", "keys", gone, "err", err)
	}
}
