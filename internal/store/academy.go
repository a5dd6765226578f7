package store

import "context"

type academyKey struct{}

// Within returns a context in which every method of a Store sees and changes that
// academy's rows only. Without one it is the academy that was there first.
func Within(ctx context.Context, academy string) context.Context {
	return context.WithValue(ctx, academyKey{}, academy)
}

// own returns the academy that ctx is within.
func (s *Store) own(ctx context.Context) string {
	if id, ok := ctx.Value(academyKey{}).(string); ok {
		return id
	}
	return s.first
}

// Own reports whether a change is one of the academy's that ctx is within.
func (s *Store) Own(ctx context.Context, c Change) bool { return c.Academy == s.own(ctx) }

// Academies lists every academy, the first one first.
func (s *Store) Academies(ctx context.Context) ([]string, error) {
	return all(ctx, s.read, text, `SELECT id FROM academies ORDER BY created, id`)
}
