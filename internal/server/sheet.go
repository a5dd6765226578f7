package server

import (
	"context"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
)

func (s *Server) getBullpen(ctx context.Context, in *byID) (wire.Sheet, error) {
	// The revision is read first: a change that slips in between is then announced
	// as newer than what the reader has.
	_, revision, err := s.deps.Store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	board, err := s.deps.Shelf.Board(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	jobs, err := s.deps.Store.Jobs(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	entries, err := s.deps.Shelf.Entries(ctx, board)
	if err != nil {
		return wire.Sheet{}, err
	}
	proposals, err := s.deps.Store.Proposals(ctx, in.ID)
	if err != nil {
		return wire.Sheet{}, err
	}
	out := wire.Sheet{
		Bullpen: wire.BullpenOf(board.Bullpen), Revision: revision, Pitcher: wire.PitcherOf(board.Pitcher),
		Films: s.filmsOf(board.Films, jobs), Reps: make([]wire.Rep, len(board.Reps)),
		Summaries: make([]wire.Summary, len(board.Sheet.Summaries)), Clips: clipsOf(entries), Jobs: jobsOf(jobs),
		Proposals: proposalsOf(proposals, board.Films, board.Reps), Body: bodyOf(board),
	}
	for i := range board.Reps {
		out.Reps[i] = repOf(board, i)
	}
	for i, sum := range board.Sheet.Summaries {
		out.Summaries[i] = wire.SummaryOf(sum)
	}
	if out.Plan, err = s.plan(ctx, in.ID); err != nil {
		return wire.Sheet{}, err
	}
	out.Waiting = waiting(out.Proposals, out.Plan, out.Reps)
	s.listenTo(ctx, &out, board.Pitcher, board.Films, board.Reps)
	return out, nil
}

// changed answers a change of one rep, with its new numbers.
func (s *Server) changed(ctx context.Context, r bullpen.Rep, revision int64) (wire.RepChange, error) {
	s.followAgain(ctx, r.BullpenID)
	board, err := s.deps.Shelf.Board(ctx, r.BullpenID)
	if err != nil {
		return wire.RepChange{}, err
	}
	for i, other := range board.Reps {
		if other.ID == r.ID {
			return wire.RepChange{Rep: repOf(board, i), Revision: revision}, nil
		}
	}
	return wire.RepChange{Rep: wire.RepOf(r, bullpen.RepNumbers{}), Revision: revision}, nil // removed meanwhile
}
