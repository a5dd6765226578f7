package server

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

func (s *Server) getBullpen(ctx context.Context, in *byID) (wire.Sheet, error) {
	// The revision is read first: a change that slips in between is then announced
	// as newer than what the reader has.
	_, revision, err := s.deps.Store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	// So are the jobs: a sheet that tells of none has all that the last of them did.
	jobs, err := s.deps.Store.Jobs(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	b, err := s.deps.Judged.Of(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	entries, err := s.deps.Shelf.Entries(ctx, b)
	if err != nil {
		return wire.Sheet{}, err
	}
	proposals, err := s.deps.Store.Proposals(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	out := wire.Sheet{
		Bullpen: wire.BullpenOf(b.Pen), Revision: revision, Pitcher: wire.PitcherOf(b.Pitcher),
		Films: s.filmsOf(ctx, b.Films, jobs), Reps: make([]wire.Rep, len(b.Reps)),
		Summaries: make([]wire.Summary, len(b.Sheet.Summaries)), Clips: clipsOf(entries), Jobs: jobsOf(jobs),
		Proposals: proposalsOf(proposals, b.Films, b.Reps), Body: bodyOf(b), Headline: b.Headline(texts.English),
	}
	if i, ok := b.Foremost(); ok {
		out.Foremost = &i
	}
	if offer, ok := b.Offer(); ok {
		said := wire.StarterOf(offer)
		out.Offer = &said
	}
	for i := range b.Reps {
		out.Reps[i] = repOf(b, i)
	}
	for i, sum := range b.Sheet.Summaries {
		out.Summaries[i] = wire.SummaryOf(sum)
		out.Summaries[i].Next, out.Summaries[i].Then = b.Next(sum)
	}
	if out.Plan, err = s.plan(ctx, in.ID); err != nil {
		return wire.Sheet{}, err
	}
	if out.AskOrder, err = s.askOrder(ctx, b.Pen.ID, b.Films); err != nil {
		return wire.Sheet{}, err
	}
	out.Waiting = waiting(out.Proposals, out.Plan, out.Reps)
	heard(&out, b)
	return out, nil
}

// askOrder reports whether the order of a bullpen's films is a guess, by their names.
func (s *Server) askOrder(ctx context.Context, bullpenID string, films []store.Film) (bool, error) {
	used, silent := 0, 0
	for _, f := range films {
		if f.State == bullpen.FilmRefused {
			continue
		}
		used++
		// What a film says of its time is known once it was looked at.
		if f.Recorded == 0 && (f.Width > 0 || f.State == bullpen.FilmReady) {
			silent++
		}
	}
	if used < 2 || silent == 0 {
		return false, nil
	}
	said, err := s.deps.Store.Arranged(ctx, bullpenID)
	return !said, err
}

// changed answers a change of one rep, with its new numbers; what her body did is judged
// where the rep is on film.
func (s *Server) changed(ctx context.Context, r bullpen.Rep, revision int64) (wire.RepChange, error) {
	b, err := s.deps.Judged.Numbers(ctx, r.BullpenID)
	if err == nil && r.FilmID != "" {
		b, err = s.deps.Judged.WithBody(ctx, b)
	}
	if err != nil {
		return wire.RepChange{}, err
	}
	for i, other := range b.Reps {
		if other.ID == r.ID {
			return wire.RepChange{Rep: repOf(b, i), Revision: revision}, nil
		}
	}
	return wire.RepChange{Rep: wire.RepOf(r, bullpen.RepNumbers{}), Revision: revision}, nil // removed meanwhile
}
