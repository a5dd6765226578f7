package store

import (
	"context"
	"errors"
)

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

// First is the ID of the academy that was there first: there is no other database with it,
// but copies of this one.
func (s *Store) First() string { return s.first }

// InEach does something within each academy, the first one first. What fails in one
// does not keep it from the others; the errors come together.
func (s *Store) InEach(ctx context.Context, do func(context.Context) error) error {
	academies, err := all(ctx, s.read, text, `SELECT id FROM academies ORDER BY created, id`)
	errs := []error{err}
	for _, id := range academies {
		errs = append(errs, do(Within(ctx, id)))
	}
	return errors.Join(errs...)
}
