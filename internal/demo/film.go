package demo

import (
	"context"
	"errors"
)

// Write draws the whole film and encodes it into path (H.264 and AAC in MP4 or
// MOV, by its extension). path appears only when complete.
func (t *Take) Write(ctx context.Context, path string) error { return errors.New("not written yet") }
