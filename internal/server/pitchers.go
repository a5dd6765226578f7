package server

import (
	"cmp"
	"context"
	"net/http"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/trust"
)

func (s *Server) pitcherRoutes() {
	serve(s, op("listPitchers", http.MethodGet, "/api/pitchers", "All pitchers"), s.listPitchers)
	serve(s, op("addPitcher", http.MethodPost, "/api/pitchers", "Add a pitcher"), s.addPitcher)
	serve(s, op("getPitcher", http.MethodGet, "/api/pitchers/{id}", "One pitcher's page"), s.getPitcher)
	serve(s, op("editPitcher", http.MethodPatch, "/api/pitchers/{id}", "Change a pitcher's settings"), s.editPitcher)
	serve(s, op("removePitcher", http.MethodDelete, "/api/pitchers/{id}", "Delete a pitcher with all her films, reps and clips"), s.removePitcher)
}

func (s *Server) listPitchers(ctx context.Context, _ *struct{}) (wire.PitcherList, error) {
	cards, err := s.deps.Store.Pitchers(ctx)
	return wire.PitcherList{Pitchers: pitcherCards(cards)}, err
}

func (s *Server) addPitcher(ctx context.Context, in *sent[wire.NewPitcher]) (wire.Pitcher, error) {
	p, err := s.newPitcher(ctx, in.Body)
	if err != nil {
		return wire.Pitcher{}, err
	}
	p, err = s.deps.Store.AddPitcher(ctx, p)
	return wire.PitcherOf(p), err
}

// newPitcher fills in what was not sent.
func (s *Server) newPitcher(ctx context.Context, n wire.NewPitcher) (bullpen.Pitcher, error) {
	level, err := s.deps.Store.Level(ctx, cmp.Or(n.Level, bullpen.UsualLevel))
	if err != nil {
		return bullpen.Pitcher{}, err
	}
	p := bullpen.NewPitcher(n.Label, level.Level)
	p.Hand, p.Unit = cmp.Or(n.Hand, p.Hand), cmp.Or(n.Unit, p.Unit)
	return p, nil
}

func (s *Server) getPitcher(ctx context.Context, in *byID) (wire.PitcherPage, error) {
	p, err := s.deps.Store.Pitcher(ctx, in.ID)
	if err != nil {
		return wire.PitcherPage{}, err
	}
	season, err := s.deps.Judged.Season(ctx, p)
	if err != nil {
		return wire.PitcherPage{}, err
	}
	first := min(len(season.Cards), homeBullpens)
	glances := glancing{judged: s.deps.Judged, left: judgedAtOnce}
	cards, err := s.glancedCards(ctx, season.Cards[:first], &glances)
	if err != nil {
		return wire.PitcherPage{}, err
	}
	return wire.PitcherPage{
		Today: s.today(), Pitcher: wire.PitcherOf(p), Bullpens: append(cards, bullpenCards(season.Cards[first:])...), Trends: trendsOf(season.Trends()),
		Load: wire.LoadOf(season.Load()), Caution: trust.Caution,
	}, nil
}

func trendsOf(trends []trust.Trend) []wire.Trend {
	out := make([]wire.Trend, len(trends))
	for i, t := range trends {
		out[i] = wire.TrendOf(t)
	}
	return out
}

func (s *Server) editPitcher(ctx context.Context, in *to[wire.PitcherEdit]) (wire.Pitcher, error) {
	p, err := s.deps.Store.Pitcher(ctx, in.ID)
	if err != nil {
		return wire.Pitcher{}, err
	}
	var level store.Level
	if in.Body.Level != nil {
		if level, err = s.deps.Store.Level(ctx, *in.Body.Level); err != nil {
			return wire.Pitcher{}, err
		}
	}
	in.Body.Onto(&p, level.Level)
	if err := checkBands(p.Bands); err != nil {
		return wire.Pitcher{}, err
	}
	if x := p.ExtensionFeet; x != nil && (*x < 0 || *x > 12) {
		return wire.Pitcher{}, bullpen.Errorf(bullpen.Invalid, "The ball is released 0 to 12 ft in front of the rubber; write that, or nothing for her level's.")
	}
	if within := p.TypedWithin; within != nil && !(*within >= 0 && *within <= 10) {
		return wire.Pitcher{}, bullpen.Errorf(bullpen.Invalid, "A typed baseline can be unsure by 0 to 10 mph, not by %v.", float64(*within))
	}
	if p.TypedGun != "" && !slices.Contains(bullpen.GunPlaces, p.TypedGun) {
		return wire.Pitcher{}, bullpen.Errorf(bullpen.Invalid, "A gun does not stand %q.", p.TypedGun)
	}
	if p.Policy == bullpen.Typed && p.TypedBaseline <= 0 {
		return wire.Pitcher{}, bullpen.Errorf(bullpen.Invalid, "A typed baseline needs its number.")
	}
	p, err = s.deps.Store.SavePitcher(ctx, p)
	return wire.PitcherOf(p), err
}

func checkBands(bands map[bullpen.Pitch]bullpen.Band) error {
	for pitch, b := range bands {
		if _, ok := bullpen.TypeOf(pitch); !ok {
			return bullpen.Errorf(bullpen.Invalid, "There is no pitch with the code %q.", pitch)
		}
		if err := b.Check(); err != nil {
			return err
		}
	}
	return nil
}

func (s *Server) removePitcher(ctx context.Context, in *removeAll) (wire.Removed, error) {
	return s.take(ctx, in, s.deps.Intake.RemovePitcher)
}

func pitcherCards(cards []store.PitcherCard) []wire.PitcherCard {
	out := make([]wire.PitcherCard, len(cards))
	for i, c := range cards {
		out[i] = wire.PitcherCard{
			ID: c.ID, Version: c.Version, Label: c.Label, Level: c.Level,
			Bullpens: c.Bullpens, Reps: c.Reps, LastDay: c.LastDay, Gun: c.Gun, Unit: cmp.Or(c.Unit, bullpen.MPH),
		}
	}
	return out
}
