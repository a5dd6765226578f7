package server

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) proposalRoutes() {
	serve(s, answering(http.StatusCreated, op("confirmProposal", http.MethodPost, "/api/proposals/{id}/confirm", "Make a proposal a rep")), s.confirmProposal)
	serve(s, answering(http.StatusOK, op("throwOutProposal", http.MethodPost, "/api/proposals/{id}/throw-out", "Say that a proposal is no rep")), s.throwOut(false))
	serve(s, answering(http.StatusOK, op("takeBackProposal", http.MethodPost, "/api/proposals/{id}/take-back", "Take back a proposal that was thrown out")), s.throwOut(true))
	serve(s, answering(http.StatusAccepted, op("findReps", http.MethodPost, "/api/films/{id}/find", "Look for reps in a film again")), s.findReps)
}

func (s *Server) confirmProposal(ctx context.Context, in *to[wire.NewRep]) (wire.RepChange, error) {
	if in.Body.FilmID == "" || in.Body.Release == nil {
		return wire.RepChange{}, bullpen.Errorf(bullpen.Invalid, "A confirmed rep needs its film and its release frame.")
	}
	f, err := s.deps.Store.Film(ctx, in.Body.FilmID)
	if err != nil {
		return wire.RepChange{}, err
	}
	rep := in.Body.Rep(f.BullpenID)
	if err := inOrder(rep); err != nil {
		return wire.RepChange{}, err
	}
	more, err := s.tells(ctx, rep, in.ID)
	if err != nil {
		return wire.RepChange{}, err
	}
	r, revision, err := s.deps.Store.Confirm(ctx, in.ID, rep)
	if err != nil {
		return wire.RepChange{}, err
	}
	if more {
		s.lookAgain(ctx, r)
	}
	return s.changed(ctx, r, revision)
}

func (s *Server) throwOut(back bool) func(context.Context, *byID) (wire.ProposalChange, error) {
	return func(ctx context.Context, in *byID) (wire.ProposalChange, error) {
		revision, err := s.deps.Store.ThrowOut(ctx, in.ID, back)
		return wire.ProposalChange{Revision: revision}, err
	}
}

func (s *Server) findReps(ctx context.Context, in *byID) (wire.Job, error) {
	job, err := s.deps.Proposer.Search(ctx, in.ID)
	return jobOf(job), err
}

// tells reports whether a rep, confirmed from a proposal, tells more than the
// proposal knew: where it was found in the rough or not surely, or not where the release is.
func (s *Server) tells(ctx context.Context, r bullpen.Rep, proposalID string) (bool, error) {
	all, err := s.deps.Store.Proposals(ctx, r.BullpenID)
	if err != nil {
		return false, err
	}
	i := slices.IndexFunc(all, func(p store.Proposal) bool { return p.ID == proposalID })
	return i < 0 || all[i].Rough || all[i].Vague() || all[i].Release != r.Release, nil
}

// lookAgain looks for the other reps of a rep's film anew when the releases marked on
// it have changed: from them come the others'. That the reps are not found again is
// no reason to refuse the mark.
func (s *Server) lookAgain(ctx context.Context, r bullpen.Rep) {
	if r.FilmID != "" && r.Release >= 0 {
		s.look(ctx, r.FilmID)
	}
}

// look queues a search for a film's reps that nobody asked for by name: that it
// can't be is no reason to refuse what led to it. A film that is being read is
// searched anyway, once it was.
func (s *Server) look(ctx context.Context, filmID string) {
	if _, err := s.deps.Proposer.Search(ctx, filmID); err != nil && !errors.Is(err, propose.ErrUnread) {
		s.log.WarnContext(ctx, "reps are not looked for again", "film", filmID, "err", err)
	}
}

// proposalsOf lists what was found and not yet decided. What lies near a rep that
// was marked is that rep.
func proposalsOf(all []store.Proposal, films []store.Film, reps []bullpen.Rep) []wire.Proposal {
	clocks := map[string]bullpen.Clock{}
	for _, f := range films {
		clocks[f.ID] = f.Clock
	}
	out := []wire.Proposal{}
	for _, p := range all {
		if p.State != store.ProposalConfirmed && !slices.ContainsFunc(reps, func(r bullpen.Rep) bool {
			return r.FilmID == p.FilmID && propose.SamePitch(clocks[p.FilmID], r.Release, p.Release)
		}) {
			out = append(out, proposalOf(p, clocks[p.FilmID]))
		}
	}
	return out
}

// heard adds to a sheet what the films say about its readings.
func heard(out *wire.Sheet, b judged.Bullpen) {
	for i := range out.Reps {
		out.Reps[i].FilmSpeed, out.Reps[i].PopAfter = filmSpeedOf(b, i), popAfter(b, i)
	}
	out.SlowDoubts, out.DistanceDoubts, out.SoundNotes = []wire.SlowDoubt{}, []wire.DistanceDoubt{}, []wire.SoundNote{}
	for _, f := range b.Films {
		if times, ok := b.Heard.Slowed[f.ID]; ok {
			out.SlowDoubts = append(out.SlowDoubts, slowDoubtOf(f.ID, times))
		} else if f.State == bullpen.FilmReady && !f.SlowKnown && f.FoundSlow > 1 {
			out.SlowDoubts = append(out.SlowDoubts, looksSlow(f.Film))
		}
		if feet, ok := b.Heard.Distance[f.ID]; ok {
			out.DistanceDoubts = append(out.DistanceDoubts, distanceDoubtOf(f.ID, feet, b.Pitcher.DistanceFeet))
		}
		if late, ok := b.Heard.OutOfStep[f.ID]; ok {
			out.SoundNotes = append(out.SoundNotes, soundNoteOf(f.Film, late, b.Pitcher.DistanceFeet))
		}
	}
	acceptAll(out.SoundNotes, b.Films)
}

// proposalOf returns p, on a film of clock c, as the API says it.
func proposalOf(p store.Proposal, c bullpen.Clock) wire.Proposal {
	out := wire.Proposal{
		ID: p.ID, FilmID: p.FilmID, From: p.From, To: p.To, Release: p.Release,
		Confidence: p.Confidence, Sure: p.Confidence > propose.Sure, Reason: p.Reason, State: string(p.State), Rough: p.Rough, Vague: p.Vague(),
	}
	if p.Instant != nil && p.Spread != nil {
		out.Within = propose.Within(c, *p.Instant/c.SlowFactor(), *p.Spread)
	}
	return out
}
