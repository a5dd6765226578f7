package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// moves give pitchers to other instructors.
type moves struct {
	store    *store.Store
	homework *homework.Homework
}

func (x moves) routes(s *Server) {
	serve(s, op("listInstructors", http.MethodGet, "/api/instructors", "The other instructors, to whom a pitcher of yours can go"), x.listInstructors)
	serve(s, answering(http.StatusOK, op("movePitcher", http.MethodPost, "/api/pitchers/{id}/move", "Give a pitcher, with all that is hers, to another instructor")), x.movePitcher)
	serve(s, op("forgetMove", http.MethodDelete, "/api/moves/{id}", "Put away that a pitcher came or went"), x.forgetMove)
}

func (x moves) listInstructors(ctx context.Context, _ *struct{}) (wire.InstructorList, error) {
	own := callerOf(ctx).account.ID
	list, err := x.store.Accounts(ctx)
	out := wire.InstructorList{Instructors: []wire.Instructor{}}
	for _, a := range list {
		if own != "" && a.ID != own { // a server without passphrases knows nobody
			out.Instructors = append(out.Instructors, wire.Instructor{ID: a.ID, Name: a.Name})
		}
	}
	return out, err
}

func (x moves) movePitcher(ctx context.Context, in *to[wire.MovePitcher]) (out wire.MoveList, err error) {
	// What is on its way knows to whom it goes; none may begin meanwhile.
	err = x.homework.Still(ctx, func() error {
		list, err := x.store.Homeworks(ctx, in.ID)
		if err != nil {
			return err
		}
		ids := make([]string, len(list))
		for i, h := range list {
			ids[i] = h.ID
		}
		n, _, err := x.homework.Count(ctx, ids...)
		if err != nil {
			return err
		}
		if n > 0 {
			return bullpen.Errorf(bullpen.Conflict, "A film of hers is on its way; move her when it is here.")
		}
		eye, err := judged.EyeOf(ctx, x.store)
		if err != nil {
			return err
		}
		return x.store.MovePitcher(ctx, in.ID, in.Body.Version, in.Body.To, eye.Spread())
	})
	if err != nil {
		return out, err
	}
	out.Moves, err = movesTold(ctx, x.store)
	return out, err
}

func (x moves) forgetMove(ctx context.Context, in *byID) (out wire.MoveList, err error) {
	if err := x.store.ForgetMove(ctx, in.ID); err != nil {
		return out, err
	}
	out.Moves, err = movesTold(ctx, x.store)
	return out, err
}

// movesTold is what the instructor was told and has not put away.
func movesTold(ctx context.Context, s *store.Store) ([]wire.Move, error) {
	list, err := s.Moves(ctx)
	out := make([]wire.Move, len(list))
	for i, m := range list {
		out[i] = wire.Move{ID: m.ID, Label: m.Label, Said: moveSaid(m), At: m.At}
		if m.Came {
			out[i].PitcherID = m.PitcherID
		}
	}
	return out, err
}

func moveSaid(m store.Move) string {
	other := m.Other
	if other == "" {
		other = "another instructor"
	}
	if m.Came {
		return m.Label + " came to you from " + other + ", with all her bullpens, films and homework. Her guardian's consents were given to " + other + " and do not count for you: ask again, then record the answer. Her links are closed until then. Where she has no bands of her own, your levels' count now. Originals of homework that was answered before are kept until you answer it again, whatever your settings say."
	}
	return m.Label + " is " + other + "'s pitcher now, with all her bullpens, films and homework. Her links are closed, and " + other + " has to ask her guardian again."
}
