// Package errand gives what somebody asked for one name: the request, and the jobs that
// follow from it. It stands in every line of every machine's log that is about it.
package errand

import (
	"context"
	"crypto/rand"
	"log/slog"
	"strings"
)

type key struct{}

// New returns a random name of 65 bits.
func New() string { return strings.ToLower(rand.Text()[:13]) }

// With returns a context in which everything belongs to that errand.
func With(ctx context.Context, name string) context.Context {
	if name == "" {
		return ctx
	}
	return context.WithValue(ctx, key{}, name)
}

// Of returns the errand that ctx belongs to, "" for none.
func Of(ctx context.Context) string {
	name, _ := ctx.Value(key{}).(string)
	return name
}

// Log has the lines that h writes name their errand.
func Log(h slog.Handler) slog.Handler { return handler{h} }

type handler struct{ slog.Handler }

func (h handler) Handle(ctx context.Context, r slog.Record) error {
	if name := Of(ctx); name != "" {
		r.AddAttrs(slog.String("errand", name))
	}
	return h.Handler.Handle(ctx, r)
}

func (h handler) WithAttrs(attrs []slog.Attr) slog.Handler {
	return handler{h.Handler.WithAttrs(attrs)}
}

func (h handler) WithGroup(name string) slog.Handler { return handler{h.Handler.WithGroup(name)} }
