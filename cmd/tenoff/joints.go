package main

import (
	"context"

	"tenoff/internal/joints"
	"tenoff/internal/posture"
	"tenoff/internal/propose"
	"tenoff/internal/store"
)

// jointsFinder finds joints in the working copies of films; nil where this machine has
// nothing to find them with.
func jointsFinder(d *data) propose.Finder {
	kit, lack := joints.FindKit()
	if lack != "" {
		return nil
	}
	finder := joints.New(kit)
	return func(ctx context.Context, f store.Film, runs [][2]int, found func(run int, track posture.Track) error, progress func(done float64)) error {
		path, done, err := d.blobs.Local(ctx, f.Made.Working)
		if err != nil {
			return err
		}
		defer done()
		spans := make([]joints.Span, len(runs))
		for i, r := range runs {
			spans[i] = joints.Span{From: r[0], To: r[1]}
		}
		of := joints.Film{Working: path, Clock: f.Clock, Width: f.Width, Height: f.Height, Box: f.Pitcher()}
		return finder.Find(ctx, of, spans, found, progress)
	}
}
