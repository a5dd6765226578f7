package server

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"time"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/said"
	"tenoff/internal/server/wire"
)

func (s *Server) slipRoutes() {
	serve(s, op("makeSlip", http.MethodPost, "/api/homework/{id}/slips", "Make a private link to this homework; it is told once, and closes the others"), s.makeSlip)
	serve(s, answering(http.StatusOK, op("renewSlip", http.MethodPost, "/api/slips/{id}/renew", "Let a slip open for longer, from now")), s.renewSlip)
	serve(s, answering(http.StatusOK, op("revokeSlip", http.MethodPost, "/api/slips/{id}/revoke", "Close a slip for good")), s.revokeSlip)
}

// What a slip gives unless said otherwise.
const (
	usualDays  = 14
	usualBytes = 8 << 30
	usualFiles = 60
)

func days(n int) time.Duration { return time.Duration(cmp.Or(n, usualDays)) * 24 * time.Hour }

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
	base, reachable := s.public(ctx)
	out := wire.MadeSlip{Slip: wire.SlipOf(slip, time.Now().UnixMicro()), Link: base + slipPage + "#" + token, Reachable: reachable}
	if !reachable {
		out.Hint = "This link opens on this computer only. Start tenoff with --lan for phones in the same network, or with --domain for everywhere."
	}
	her, err := s.deps.Store.Pitcher(ctx, h.PitcherID)
	if err != nil {
		return wire.MadeSlip{}, err
	}
	l := said.LanguageOf(her.Language)
	out.ShareText = l.Say("slip.message", said.V{"title": h.Workout.Title, "link": out.Link, "day": l.Day(time.UnixMicro(slip.Expires))})
	out.QrSvg, out.QrPng, err = homework.QR(out.Link)
	return out, err
}

// slipPage is the path of the student's page. The token stands behind a #: it
// reaches no server, no log and no other site.
const slipPage = "/s"

// public returns the address that a link begins with, and whether a phone can reach
// it.
func (s *Server) public(ctx context.Context) (base string, reachable bool) {
	if s.deps.Access.Public != "" {
		return s.deps.Access.Public, true
	}
	from := originOf(ctx)
	u, err := url.Parse(from)
	return from, err == nil && !loopback(u.Host)
}

func (s *Server) renewSlip(ctx context.Context, in *to[wire.RenewSlip]) (wire.Slip, error) {
	slip, err := s.deps.Store.RenewSlip(ctx, in.ID, days(in.Body.Days))
	return wire.SlipOf(slip, time.Now().UnixMicro()), err
}

func (s *Server) revokeSlip(ctx context.Context, in *byID) (wire.Slip, error) {
	slip, err := s.deps.Store.RevokeSlip(ctx, in.ID)
	return wire.SlipOf(slip, time.Now().UnixMicro()), err
}
