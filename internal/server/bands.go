package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// bands says a band in every unit.
type bands struct {
	store  *store.Store
	judged *judged.Bullpens
}

func (b bands) routes(s *Server) {
	serve(s, answering(http.StatusOK, op("sayBand", http.MethodPost, "/api/bands", "The same band in every unit")), b.sayBand)
}

// exampleBaseline stands in for a pitcher who has no readings yet.
const exampleBaseline bullpen.Speed = 50

func (b bands) sayBand(ctx context.Context, in *sent[wire.BandAsked]) (wire.BandAnswer, error) {
	p, err := b.store.Pitcher(ctx, in.Body.PitcherID)
	if err != nil {
		return wire.BandAnswer{}, err
	}
	season, err := b.judged.Season(ctx, p)
	if err != nil {
		return wire.BandAnswer{}, err
	}
	baseline, known := season.Baseline()
	if !known {
		baseline = exampleBaseline
	}
	out := wire.BandAnswer{Bands: []wire.Band{}, Baseline: wire.SpeedOf(baseline), Known: known}
	band := bullpen.Band(in.Body.Band)
	if err := band.Check(); err != nil {
		out.Problem = bullpen.MessageOf(err)
		return out, nil
	}
	way, _ := p.Way()
	for _, same := range band.All(baseline, way) {
		out.Bands = append(out.Bands, wire.Band(same))
	}
	return out, nil
}
