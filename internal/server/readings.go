package server

import (
	"cmp"
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
	"tenoff/internal/server/wire"
)

func (s *Server) readingRoutes() {
	serve(s, answering(http.StatusOK, op("enterReadings", http.MethodPost, "/api/bullpens/{id}/readings", "Match a run, a column or a CSV of readings to the reps in order")), s.enterReadings)
}

func (s *Server) enterReadings(ctx context.Context, in *to[wire.Readings]) (wire.ReadingPairs, error) {
	pen, revision, err := s.deps.Store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	if seen := in.Body.Revision; seen != 0 && seen != revision {
		return wire.ReadingPairs{}, bullpen.Errorf(bullpen.Conflict, "This bullpen was changed in the meantime; look at the pairs again.")
	}
	entries, err := ledger.ParseReadings(in.Body.Text, defaults(pen, in.Body))
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	reps, err := s.deps.Store.Reps(ctx, in.ID)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	preview := ledger.Match(entries, from(reps, in.Body.From), in.Body.Shift)
	if !in.Body.DryRun {
		if revision, err = s.deps.Store.SaveReps(ctx, entered(preview)); err != nil {
			return wire.ReadingPairs{}, err
		}
	}
	return pairsOf(preview, revision, !in.Body.DryRun), nil
}

func defaults(pen bullpen.Bullpen, sent wire.Readings) ledger.Defaults {
	return ledger.Defaults{
		Unit: cmp.Or(sent.Unit, pen.Unit), Step: cmp.Or(sent.Step, pen.Step), Gun: cmp.Or(sent.Gun, pen.Gun),
	}
}

// from returns the reps from the given order number on.
func from(reps []bullpen.Rep, order int) []bullpen.Rep {
	for i, r := range reps {
		if r.Order >= order {
			return reps[i:]
		}
	}
	return nil
}

// entered returns the reps that a preview changes, as they will be.
func entered(p ledger.Preview) []bullpen.Rep {
	var out []bullpen.Rep
	for _, pair := range p.Pairs {
		if pair.Rep == nil || pair.Entry == nil || pair.Entry.Reading == nil {
			continue
		}
		r := *pair.Rep
		r.Reading, r.Pitch = pair.Entry.Reading, pair.Pitch()
		out = append(out, r)
	}
	return out
}

func pairsOf(p ledger.Preview, revision int64, saved bool) wire.ReadingPairs {
	out := wire.ReadingPairs{
		Pairs: make([]wire.ReadingPair, len(p.Pairs)), Matched: p.Matched, Over: p.Over, Missing: p.Missing,
		Saved: saved, Revision: revision,
	}
	for i, pair := range p.Pairs {
		one := wire.ReadingPair{Doubt: pair.Doubt, OtherPitch: pair.OtherPitch}
		if e := pair.Entry; e != nil {
			one.Text, one.Reading = e.Text, (*wire.Reading)(e.Reading)
			if e.Pitch != "" {
				one.Pitch = &e.Pitch
			}
		}
		if r := pair.Rep; r != nil {
			one.RepID, one.Order, one.Before = r.ID, r.Order, (*wire.Reading)(r.Reading)
		}
		out.Pairs[i] = one
	}
	return out
}
