package film

import "context"

// Probe reads what the file at path says of itself, and refuses what is not a
// film that can be used with a *bullpen.Error of code Refused: one sentence that
// calls the file name ("" is path's last part). It decodes nothing.
func Probe(ctx context.Context, path, name string) (Facts, error) {
	return Facts{}, errNotYet
}
