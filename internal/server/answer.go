package server

import (
	"context"
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
)

// slipAnswer is what came back, as the student sees it.
func (s *Server) slipAnswer(ctx context.Context, p homework.Pass) (*wire.SlipAnswer, error) {
	sent := p.Homework.Sent
	board, err := s.deps.Shelf.Board(ctx, p.Homework.BullpenID)
	if err != nil {
		return nil, err
	}
	out := &wire.SlipAnswer{SentAt: sent.SentAt, Words: sent.Words, Clips: []wire.SlipClip{}, Drawings: []wire.SlipDrawing{}, Reps: []wire.SlipRep{}, Aims: []wire.SlipAim{}}
	if sent.Next != nil {
		next := wire.WorkoutTextOf(*sent.Next)
		out.Next = &next
	}
	for _, id := range sent.ClipIDs {
		e, err := s.deps.Shelf.Entry(ctx, id)
		if bullpen.CodeOf(err) == bullpen.NotFound || err == nil && !e.Made {
			continue // it was taken off the shelf since
		}
		if err != nil {
			return nil, err
		}
		title, err := s.clipTitle(ctx, e)
		if err != nil {
			return nil, err
		}
		out.Clips = append(out.Clips, wire.SlipClip{
			Title: title, Kind: e.Kind, File: s.ticket(p, "clip", e.ID), Captions: s.ticket(p, "captions", e.ID),
			FileName: e.FileName, Bytes: e.Bytes, Seconds: e.Seconds, ReleaseSeconds: e.ReleaseAt,
		})
	}
	for _, d := range sent.Drawings {
		drawing, err := s.slipDrawing(ctx, p, d)
		switch bullpen.CodeOf(err) {
		case bullpen.NotFound, bullpen.Invalid:
			continue // it was taken away since
		}
		if err != nil {
			return nil, err
		}
		out.Drawings = append(out.Drawings, drawing)
	}
	for i, r := range board.Reps {
		if r.WarmUp {
			continue
		}
		full := wire.RepOf(r, board.Sheet.Reps[i])
		out.Reps = append(out.Reps, wire.SlipRep{
			Order: r.Order, Set: r.Set, Number: r.Number, Drill: r.Drill, Pitch: r.Pitch,
			Reading: full.Reading, Gap: full.Judged.Gap, Verdict: full.Judged.Verdict,
		})
	}
	for _, sum := range board.Sheet.Summaries {
		full := wire.SummaryOf(sum)
		out.Aims = append(out.Aims, wire.SlipAim{
			Pitch: full.Pitch, Drill: full.Drill, Reps: full.N, MeanGap: full.MeanGap, Verdict: full.Verdict,
			Aim: full.Aim, ComeBackOn: full.ComeBackOn,
		})
	}
	return out, nil
}

// slipDrawing is a frame with what is drawn on it now.
func (s *Server) slipDrawing(ctx context.Context, p homework.Pass, d bullpen.DrawingOf) (wire.SlipDrawing, error) {
	r, f, err := s.onFilm(ctx, d.RepID)
	if err != nil {
		return wire.SlipDrawing{}, err
	}
	all, err := s.deps.Store.Drawings(ctx, d.RepID)
	if err != nil {
		return wire.SlipDrawing{}, err
	}
	for _, drawing := range all {
		if drawing.Frame == d.Frame {
			return wire.SlipDrawing{
				Order: r.Order, Picture: s.ticket(p, "frame", frameName(d)), Shapes: wire.DrawingOf(drawing, f.Width, f.Height).Shapes,
			}, nil
		}
	}
	return wire.SlipDrawing{}, bullpen.Errorf(bullpen.NotFound, "There is no such drawing.")
}

// clipTitle says what a clip shows.
func (s *Server) clipTitle(ctx context.Context, e shelf.Entry) (string, error) {
	r, err := s.deps.Store.Rep(ctx, e.RepID)
	if err != nil {
		return "", err
	}
	title := fmt.Sprintf("Rep %d, %s", r.Order, wire.PitchName(r.Pitch))
	if e.OtherID == "" {
		return title, nil
	}
	other, err := s.deps.Store.Rep(ctx, e.OtherID)
	return fmt.Sprintf("%s, beside rep %d, %s", title, other.Order, wire.PitchName(other.Pitch)), err
}
