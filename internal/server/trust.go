package server

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

// trustRules answers whether a pitch can be trusted in a game.
type trustRules struct {
	store  *store.Store
	judged *judged.Bullpens
}

func (r trustRules) routes(s *Server) {
	serve(s, op("getTrust", http.MethodGet, "/api/pitchers/{id}/trust", "Can her pitch be trusted in a game, by the instructor's rule"), r.getTrust)
	serve(s, op("setTrust", http.MethodPut, "/api/pitchers/{id}/trust", "Set the rule by which a pitch is trusted"), r.setTrust)
}

// usualRule is the rule until the instructor sets her own.
func usualRule() trust.Rule {
	return trust.Rule{Pitch: bullpen.ChangeUp, Lines: []trust.Line{
		{Kind: trust.InBand, Need: 8, Of: 10},
		{Kind: trust.SameReps, Need: 8, Of: 10},
		{Kind: trust.Strikes, Need: 60},
		{Kind: trust.Bullpens, Need: 3},
	}}
}

func (r trustRules) getTrust(ctx context.Context, in *byID) (wire.TrustAnswer, error) {
	p, err := r.store.Pitcher(ctx, in.ID)
	if err != nil {
		return wire.TrustAnswer{}, err
	}
	rule, err := r.ruleOf(ctx, in.ID)
	if err != nil {
		return wire.TrustAnswer{}, err
	}
	season, err := r.judged.Season(ctx, p)
	if err != nil {
		return wire.TrustAnswer{}, err
	}
	return wire.TrustOf(season.Trust(rule), p.Version, namesIn(season.Weeks)), nil
}

func (r trustRules) ruleOf(ctx context.Context, pitcherID string) (trust.Rule, error) {
	text, err := r.store.TrustRule(ctx, pitcherID)
	if err != nil || text == "" {
		return usualRule(), err
	}
	var rule trust.Rule
	if err := json.Unmarshal([]byte(text), &rule); err != nil {
		return rule, fmt.Errorf("trust rule of pitcher %s: %w", pitcherID, err)
	}
	return rule, nil
}

// namesIn names full pitches and bullpens of the weeks: "12 April 2026, rep 7".
func namesIn(weeks []trust.Week) func(id string) wire.RepName {
	names := map[string]wire.RepName{}
	for _, w := range weeks {
		day := bullpen.DayText(w.Day)
		names[w.BullpenID] = wire.RepName{ID: w.BullpenID, BullpenID: w.BullpenID, Label: day}
		for _, f := range w.Full {
			for _, one := range f.Thrown {
				names[one.RepID] = wire.RepName{ID: one.RepID, BullpenID: w.BullpenID, Label: fmt.Sprintf("%s, rep %d", day, one.Order)}
			}
		}
	}
	return func(id string) wire.RepName { return names[id] }
}

func (r trustRules) setTrust(ctx context.Context, in *to[wire.TrustRule]) (wire.TrustAnswer, error) {
	rule := in.Body.Rule()
	if err := rule.Check(); err != nil {
		return wire.TrustAnswer{}, err
	}
	text, err := json.Marshal(rule)
	if err != nil {
		return wire.TrustAnswer{}, err
	}
	if err := r.store.SaveTrustRule(ctx, in.ID, in.Body.Version, string(text)); err != nil {
		return wire.TrustAnswer{}, err
	}
	return r.getTrust(ctx, &byID{ID: in.ID})
}
