package server

import (
	"context"
	"database/sql"
	"fmt"
	"log/slog"
	"net/http"
	"testing"

	"tenoff/internal/bullpen"
)

// What was given up before it was done is asked for again, and is nobody's fault.
func TestWhatWasGivenUpIsAskedForAgain(t *testing.T) {
	s := &Server{log: slog.New(slog.DiscardHandler)}
	for _, c := range []struct {
		err  error
		want int
	}{
		{fmt.Errorf("reps: %w", context.Canceled), http.StatusServiceUnavailable},
		{fmt.Errorf("reps: %w", context.DeadlineExceeded), http.StatusServiceUnavailable},
		{sql.ErrTxDone, http.StatusInternalServerError},
		{&bullpen.Error{Code: bullpen.NotFound, Message: "There is no such rep.", Err: context.Canceled}, http.StatusNotFound},
	} {
		if p := s.problemOf(t.Context(), c.err); p.Status != c.want {
			t.Errorf("%v: %d, want %d", c.err, p.Status, c.want)
		}
	}
}
