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
		Proposals: proposalsOf(proposals, board.Films, board.Reps),
	}
	for i, r := range board.Reps {
		out.Reps[i] = wire.RepOf(r, board.Sheet.Reps[i])
	}
	for i, sum := range board.Sheet.Summaries {
		out.Summaries[i] = wire.SummaryOf(sum)
	}
	s.listenTo(ctx, &out, board.Pitcher, board.Films, board.Reps)
	return out, nil
}

// change answers a change of one rep, with its new numbers.
func (s *Server) change(ctx context.Context, r bullpen.Rep, revision int64) (wire.RepChange, error) {
	board, err := s.deps.Shelf.Board(ctx, r.BullpenID)
	if err != nil {
		return wire.RepChange{}, err
	}
	numbers, _ := board.Sheet.Rep(r.ID)
	return wire.RepChange{Rep: wire.RepOf(r, numbers), Revision: revision}, nil
}
