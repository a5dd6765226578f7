package server

import (
	"context"
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/tempo"
)

func (s *Server) getRemark(ctx context.Context, in *byID) (wire.RemarkTask, error) {
	if _, _, err := s.deps.Store.Bullpen(ctx, in.ID); err != nil {
		return wire.RemarkTask{}, err
	}
	eye, err := judged.EyeOf(ctx, s.deps.Store)
	if err != nil {
		return wire.RemarkTask{}, err
	}
	reps, err := s.deps.Proposer.SecondMarks(ctx, in.ID)
	if err != nil {
		return wire.RemarkTask{}, err
	}
	out := wire.RemarkTask{Eye: eyeOf(eye), Reps: []wire.RemarkRep{}}
	if len(reps) < propose.RemarkReps {
		out.Sentence = fmt.Sprintf("It takes %d reps with instants marked by hand, and here are %d; mark some more first.", propose.RemarkReps, len(reps))
		return out, nil
	}
	for _, r := range reps {
		again := wire.RemarkRep{
			RepID: r.Rep.ID, FilmID: r.Rep.FilmID, From: r.From, To: r.To,
			Label: fmt.Sprintf("%d. %s", r.Rep.Order, wire.PitchName(r.Rep.Pitch)),
		}
		for _, e := range r.Instants {
			again.Instants = append(again.Instants, string(e))
		}
		out.Reps = append(out.Reps, again)
	}
	return out, nil
}

func (s *Server) getEye(ctx context.Context, _ *struct{}) (wire.Eye, error) {
	eye, err := judged.EyeOf(ctx, s.deps.Store)
	return eyeOf(eye), err
}

func (s *Server) setEye(ctx context.Context, in *sent[wire.Remarked]) (wire.Eye, error) {
	again := make([]bullpen.Rep, len(in.Body.Reps))
	for i, r := range in.Body.Reps {
		again[i] = r.Rep()
	}
	seconds, marks, err := s.deps.Proposer.Spread(ctx, again)
	if err != nil {
		return wire.Eye{}, err
	}
	eye := judged.Eye{Seconds: seconds, Marks: marks, Day: s.today()}
	return eyeOf(eye), judged.SaveEye(ctx, s.deps.Store, eye)
}

func (s *Server) forgetEye(ctx context.Context, _ *struct{}) (wire.Eye, error) {
	return eyeOf(judged.Eye{}), judged.SaveEye(ctx, s.deps.Store, judged.Eye{})
}

func eyeOf(e judged.Eye) wire.Eye {
	out := wire.Eye{Millis: 1000 * e.Seconds, Known: e.Seconds > 0, Marks: e.Marks, Day: e.Day}
	if !out.Known {
		out.Millis = 1000 * tempo.EyeSpread
	}
	return out
}
