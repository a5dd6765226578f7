package proc

import (
	"context"
	"sync/atomic"
	"time"
)

// Meter adds up the processor time of programs.
type Meter struct{ spent atomic.Int64 }

// Spent returns the user and system time of the programs that have ended.
func (m *Meter) Spent() time.Duration { return time.Duration(m.spent.Load()) }

func (m *Meter) add(d time.Duration) {
	if m != nil {
		m.spent.Add(int64(d))
	}
}

type meterKey struct{}

// Metered returns a context in which the programs that Run runs are counted by m.
func Metered(ctx context.Context, m *Meter) context.Context {
	return context.WithValue(ctx, meterKey{}, m)
}

// meterOf is the meter of a context, nil for none.
func meterOf(ctx context.Context) *Meter {
	m, _ := ctx.Value(meterKey{}).(*Meter)
	return m
}
