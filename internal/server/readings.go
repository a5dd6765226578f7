package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
)

func (s *Server) readingRoutes() {
	serve(s, answering(http.StatusOK, op("enterReadings", http.MethodPost, "/api/bullpens/{id}/readings", "Match a run, a column or a CSV of readings to the reps in order")), s.enterReadings)
}

func (s *Server) enterReadings(context.Context, *to[wire.Readings]) (wire.ReadingPairs, error) {
	return wire.ReadingPairs{}, notYet()
}
