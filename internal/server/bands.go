package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) bandRoutes() {
	serve(s, answering(http.StatusOK, op("sayBand", http.MethodPost, "/api/bands", "The same band in every unit")), s.sayBand)
}

// exampleBaseline stands in for a pitcher who has no readings yet.
const exampleBaseline bullpen.Speed = 50

func (s *Server) sayBand(ctx context.Context, in *sent[wire.BandAsked]) (wire.BandAnswer, error) {
	p, err := s.deps.Store.Pitcher(ctx, in.Body.PitcherID)
	if err != nil {
		return wire.BandAnswer{}, err
	}
	baseline, known, err := s.latestBaseline(ctx, p)
	if err != nil {
		return wire.BandAnswer{}, err
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

// latestBaseline is the baseline of the latest bullpen that has one for the full
// pitch, looked for in her last few.
func (s *Server) latestBaseline(ctx context.Context, p bullpen.Pitcher) (bullpen.Speed, bool, error) {
	cards, _, err := s.deps.Store.Bullpens(ctx, p.ID, store.Page{Limit: 10})
	if err != nil {
		return 0, false, err
	}
	for _, c := range cards {
		reps, err := s.deps.Store.Reps(ctx, c.ID)
		if err != nil {
			return 0, false, err
		}
		for _, sum := range bullpen.Judge(p, c.Bullpen, nil, reps).Summaries {
			if bullpen.DrillKey(sum.Drill) == "" && sum.Baseline != nil {
				return sum.Baseline.Speed, true, nil
			}
		}
	}
	return exampleBaseline, false, nil
}
