package film

import (
	"context"
	"errors"
)

var errNotYet = errors.New("film: not written yet")

// Read decodes the film at path once and makes all of Made in dir, which must
// exist. facts are Probe's. progress, when not nil, is told the share done, in
// [0, 1] and rising. Files appear in dir only when all of them are complete; after
// an error none is left. The error is a *bullpen.Error of code Refused when the
// film is to blame, Unavailable when the disk is full or ffmpeg missing, or ctx's
// when that ended.
func Read(ctx context.Context, path string, facts Facts, dir string, progress func(done float64)) (Made, error) {
	return Made{}, errNotYet
}
