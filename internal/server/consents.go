package server

import (
	"context"
	"net/http"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

func (s *Server) consentRoutes() {
	serve(s, op("listConsents", http.MethodGet, "/api/pitchers/{id}/consents", "Who said yes to what her film may be used for"), s.listConsents)
	serve(s, op("addConsent", http.MethodPost, "/api/pitchers/{id}/consents", "Record a guardian's consent"), s.addConsent)
	serve(s, answering(http.StatusOK, op("withdrawConsent", http.MethodPost, "/api/consents/{id}/withdraw", "Withdraw a consent; links that no other one stands for are closed")), s.withdrawConsent)
}

func (s *Server) listConsents(ctx context.Context, in *byID) (wire.ConsentList, error) {
	list, err := s.deps.Store.Consents(ctx, in.ID)
	out := wire.ConsentList{Consents: make([]wire.Consent, len(list))}
	for i, c := range list {
		out.Consents[i] = wire.ConsentOf(c)
	}
	out.Standing = bullpen.Standing(list)
	for _, p := range bullpen.Purposes {
		out.Asks = append(out.Asks, wire.Asks{For: p, Words: p.Asks()})
	}
	return out, err
}

func (s *Server) addConsent(ctx context.Context, in *to[wire.NewConsent]) (wire.ConsentList, error) {
	n := in.Body
	if strings.TrimSpace(n.Guardian) == "" {
		return wire.ConsentList{}, bullpen.Errorf(bullpen.Invalid, "Write who said yes.")
	}
	if n.Given > s.today() {
		return wire.ConsentList{}, bullpen.Errorf(bullpen.Invalid, "A consent can't be given on a day to come; correct the date.")
	}
	_, err := s.deps.Store.AddConsent(ctx, bullpen.Consent{PitcherID: in.ID, Guardian: n.Guardian, Given: n.Given, For: n.For, Covers: n.Covers})
	if err != nil {
		return wire.ConsentList{}, err
	}
	return s.listConsents(ctx, &byID{ID: in.ID})
}

func (s *Server) withdrawConsent(ctx context.Context, in *byID) (wire.ConsentList, error) {
	pitcherID, closed, err := s.deps.Store.WithdrawConsent(ctx, in.ID)
	if err != nil {
		return wire.ConsentList{}, err
	}
	if err := s.dropUploads(ctx, pitcherID); err != nil {
		return wire.ConsentList{}, err
	}
	out, err := s.listConsents(ctx, &byID{ID: pitcherID})
	out.LinksClosed = closed
	return out, err
}

// dropUploads removes what is on its way from a pitcher whose homework nobody says yes to any more.
func (s *Server) dropUploads(ctx context.Context, pitcherID string) error {
	standing, err := s.deps.Store.Consented(ctx, pitcherID, bullpen.ForHomework)
	if err != nil || standing {
		return err
	}
	list, err := s.deps.Store.Homeworks(ctx, pitcherID)
	if err != nil {
		return err
	}
	ids := make([]string, len(list))
	for i, h := range list {
		ids[i] = h.ID
	}
	return s.deps.Homework.Still(ctx, func() error {
		_, err := s.deps.Homework.Forget(ctx, ids...)
		return err
	})
}
