package store

import (
	"context"
	"testing"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/errand"
)

// What follows from a change belongs to the errand that it was made in, in another program
// too.
func TestFollowedInItsErrand(t *testing.T) {
	one := fresh(t)
	other := one
	if onServerOnly() {
		address := database(t)
		one, other = node(t, address), node(t, address)
	}
	b := pen(t, one, "Kit", "2026-04-11")
	ctx, stop := context.WithCancel(t.Context())
	listens, followed, ended := make(chan struct{}), make(chan string, 1), make(chan struct{})
	go func() {
		defer close(ended)
		other.Follow(ctx, func(context.Context) ([]string, error) { close(listens); return nil, nil }, func(ctx context.Context, id string) {
			if id == b.ID && errand.Of(ctx) != "" {
				followed <- errand.Of(ctx)
			}
		}, func(err error) { t.Error(err) })
	}()
	defer func() { stop(); <-ended }()
	<-listens
	name := errand.New()
	if _, _, err := one.AddRep(errand.With(ctx, name), unmarked(b, bullpen.Fastball, 50)); err != nil {
		t.Fatal(err)
	}
	select {
	case got := <-followed:
		if got != name {
			t.Errorf("followed in %q, want %q", got, name)
		}
	case <-time.After(30 * time.Second):
		t.Error("nothing followed")
	}
}
