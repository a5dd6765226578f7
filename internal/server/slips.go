package server

import (
	"cmp"
	"context"
	"net/http"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/texts"
)

func (s *Server) slipRoutes() {
	serve(s, op("makeSlip", http.MethodPost, "/api/homework/{id}/slips", "Make a private link to this homework; it is told once, and closes the others"), s.makeSlip)
	serve(s, answering(http.StatusOK, op("renewSlip", http.MethodPost, "/api/slips/{id}/renew", "Let a slip open for so long from now, or as long as it does")), s.renewSlip)
	serve(s, answering(http.StatusOK, op("revokeSlip", http.MethodPost, "/api/slips/{id}/revoke", "Close a slip for good")), s.revokeSlip)
}

// What a slip gives unless said otherwise.
const (
	usualBytes = 8 << 30
	usualFiles = 60
)

func (s *Server) makeSlip(ctx context.Context, in *to[wire.NewSlip]) (wire.MadeSlip, error) {
	h, err := s.deps.Store.Homework(ctx, in.ID)
	if err != nil {
		return wire.MadeSlip{}, err
	}
	slip, token, err := s.deps.Store.AddSlip(ctx, bullpen.Slip{
		HomeworkID: in.ID, MaxBytes: cmp.Or(in.Body.MaxBytes, usualBytes), MaxFiles: cmp.Or(in.Body.MaxFiles, usualFiles),
	}, days(in.Body.Days))
	if err != nil {
		return wire.MadeSlip{}, err
	}
	her, err := s.deps.Store.Pitcher(ctx, h.PitcherID)
	if err != nil {
		return wire.MadeSlip{}, err
	}
	l, link := texts.LanguageOf(her.Language), s.deps.Access.link(ctx, slipPage, token)
	text := l.Say("slip.message", texts.V{"title": h.Workout.Title, "link": link, "day": l.Day(time.UnixMicro(slip.Expires))})
	made, err := s.deps.Access.made(ctx, link, text)
	return wire.MadeSlip{Slip: wire.SlipOf(slip, s.deps.Store.Now()), MadeLink: made}, err
}

// slipPage is the path of the student's page.
const slipPage = "/s"

func (s *Server) renewSlip(ctx context.Context, in *to[wire.RenewLink]) (wire.Slip, error) {
	slip, err := s.deps.Store.RenewSlip(ctx, in.ID, days(in.Body.Days))
	return wire.SlipOf(slip, s.deps.Store.Now()), err
}

func (s *Server) revokeSlip(ctx context.Context, in *byID) (wire.Slip, error) {
	slip, err := s.deps.Store.RevokeSlip(ctx, in.ID)
	return wire.SlipOf(slip, s.deps.Store.Now()), err
}
