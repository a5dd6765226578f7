package server

import (
	"cmp"
	"context"
	"net/http"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/ledger"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) readingRoutes() {
	serve(s, answering(http.StatusOK, upTo(largeBody, op("enterReadings", http.MethodPost, "/api/bullpens/{id}/readings", "Match a run, a column or a CSV of readings to the reps in order"))), s.enterReadings)
	serve(s, answering(http.StatusOK, op("doubtReading", http.MethodPost, "/api/bullpens/{id}/readings/doubt", "Ask whether one reading can be right, before it is saved")), s.doubtReading)
}

// doubtReading asks of a reading what will be asked of it once it is saved.
func (s *Server) doubtReading(ctx context.Context, in *to[wire.ReadingToDoubt]) (wire.ReadingDoubt, error) {
	pen, err := s.deps.Judged.Pen(ctx, in.ID)
	if err != nil {
		return wire.ReadingDoubt{}, err
	}
	reps, err := s.deps.Store.Reps(ctx, in.ID)
	if err != nil {
		return wire.ReadingDoubt{}, err
	}
	at := slices.IndexFunc(reps, func(r bullpen.Rep) bool { return in.Body.RepID != "" && r.ID == in.Body.RepID })
	if at < 0 { // a rep that is still to come
		at, reps = len(reps), append(reps, bullpen.Rep{Pitch: bullpen.Fastball, Drill: in.Body.Drill, WarmUp: in.Body.WarmUp})
	}
	reps[at].Reading = (*bullpen.Reading)(&in.Body.Reading)
	reps[at].Pitch = cmp.Or(in.Body.Pitch, reps[at].Pitch)
	q := bullpen.Questions(pen, reps)[at]
	return wire.ReadingDoubt{Doubt: q.Sentence, Meant: (*wire.Reading)(q.Meant)}, nil
}

func (s *Server) enterReadings(ctx context.Context, in *to[wire.Readings]) (wire.ReadingPairs, error) {
	_, revision, err := s.deps.Store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	pen, err := s.deps.Judged.Pen(ctx, in.ID)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	entries, err := ledger.ParseReadings(in.Body.Text, defaults(pen, in.Body))
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	reps, err := s.deps.Store.Reps(ctx, in.ID)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	onto, shift := from(reps, in.Body.From), in.Body.Shift
	if in.Body.Free {
		shift += ledger.Free(entries, onto)
	}
	preview := ledger.Match(entries, onto, shift)
	if in.Body.NewReps {
		ahead, err := s.placesAhead(ctx, in.ID, preview.Behind)
		if err != nil {
			return wire.ReadingPairs{}, err
		}
		var last bullpen.Rep
		if len(reps) > 0 {
			last = reps[len(reps)-1]
		}
		preview.LogBehind(last, ahead)
	}
	preview.Ask(pen, reps)
	if in.Body.DryRun {
		return pairsOf(preview, shift, revision, nil), nil
	}
	run := store.Run{BullpenID: in.ID, Seen: in.Body.Revision, Key: in.Body.Key}
	run.Saved, run.New = entered(preview)
	logged, revision, err := s.deps.Store.Enter(ctx, run)
	if err != nil {
		return wire.ReadingPairs{}, err
	}
	out := pairsOf(preview, shift, revision, logged)
	out.Saved = true
	return out, nil
}

func defaults(pen bullpen.Bullpen, sent wire.Readings) ledger.Defaults {
	return ledger.Defaults{
		Unit: cmp.Or(sent.Unit, pen.Unit), Step: cmp.Or(sent.Step, pen.Step), Gun: cmp.Or(sent.Gun, pen.Gun), Whole: sent.NewReps,
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

// entered returns the reps that a preview changes, as they will be, and those it logs.
func entered(p ledger.Preview) (saved, logged []bullpen.Rep) {
	for _, pair := range p.Pairs {
		if pair.New != nil {
			logged = append(logged, *pair.New)
		}
		if pair.Rep == nil || pair.Entry == nil || pair.Entry.Reading == nil {
			continue
		}
		r := *pair.Rep
		r.Reading, r.Pitch = pair.Entry.Reading, pair.Pitch()
		saved = append(saved, r)
	}
	return saved, logged
}

func pairsOf(p ledger.Preview, shift int, revision int64, logged []string) wire.ReadingPairs {
	out := wire.ReadingPairs{
		Pairs: make([]wire.ReadingPair, len(p.Pairs)), Matched: p.Matched, Over: p.Over, Behind: p.Behind, New: p.New, Missing: p.Missing, Kept: p.Kept, Replaced: p.Replace, Shift: shift,
		Logged: append([]string{}, logged...), Revision: revision,
	}
	for i, pair := range p.Pairs {
		one := wire.ReadingPair{Doubt: pair.Doubt.Sentence, OtherPitch: pair.OtherPitch, New: pair.New != nil}
		if e := pair.Entry; e != nil {
			one.Text, one.Reading = e.Text, (*wire.Reading)(e.Reading)
			if e.Pitch != "" {
				one.Pitch = &e.Pitch
			}
		}
		if r := pair.New; r != nil {
			one.Pitch = &r.Pitch
		}
		if r := pair.Rep; r != nil {
			one.RepID, one.Order, one.Before = r.ID, r.Order, (*wire.Reading)(r.Reading)
		}
		out.Pairs[i] = one
	}
	return out
}
