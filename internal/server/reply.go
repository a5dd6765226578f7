package server

import (
	"context"
	"slices"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/texts"
)

func (s *Server) writeReply(ctx context.Context, in *to[wire.ReplyEdit]) (wire.Homework, error) {
	h, err := s.deps.Store.Homework(ctx, in.ID)
	if err != nil {
		return wire.Homework{}, err
	}
	n := in.Body
	h.Version = n.Version
	h.Draft.Words, h.Draft.ClipIDs, h.Draft.Drawings = n.Words, slices.Clone(n.ClipIDs), nil
	for _, d := range n.Drawings {
		h.Draft.Drawings = append(h.Draft.Drawings, bullpen.DrawingOf(d))
	}
	switch {
	case n.NoNext:
		h.Draft.Next = nil
	case n.NextWorkoutID != "":
		w, err := s.deps.Store.Workout(ctx, n.NextWorkoutID)
		if err != nil {
			return wire.Homework{}, err
		}
		h.Draft.Next = &w.Workout
	}
	if err := s.onlyHers(ctx, h); err != nil {
		return wire.Homework{}, err
	}
	if _, err := s.deps.Store.SaveHomework(ctx, h); err != nil {
		return wire.Homework{}, err
	}
	return s.getHomework(ctx, &byID{ID: in.ID})
}

// onlyHers refuses a reply that would show anybody else's film.
func (s *Server) onlyHers(ctx context.Context, h bullpen.Homework) error {
	other := bullpen.Errorf(bullpen.Invalid, "This reply would show another pitcher's film; take that clip out.")
	for _, id := range h.Draft.ClipIDs {
		pitchers, err := s.deps.Store.Shows(ctx, id)
		if err != nil {
			return err
		}
		if len(pitchers) != 1 || pitchers[0] != h.PitcherID {
			return other
		}
	}
	for _, d := range h.Draft.Drawings {
		r, err := s.deps.Store.Rep(ctx, d.RepID)
		if err != nil {
			return err
		}
		whose, err := s.deps.Store.PitcherOf(ctx, r)
		if err != nil {
			return err
		}
		if whose != h.PitcherID {
			return other
		}
	}
	return nil
}

func (s *Server) sendReply(ctx context.Context, in *to[wire.SendReply]) (wire.Answered, error) {
	h, err := s.deps.Store.Homework(ctx, in.ID)
	if err != nil {
		return wire.Answered{}, err
	}
	h.Version = in.Body.Version
	if strings.TrimSpace(h.Draft.Words) == "" && len(h.Draft.ClipIDs) == 0 {
		return wire.Answered{}, bullpen.Errorf(bullpen.Invalid, "There is nothing in this reply yet: write some words, or choose a clip.")
	}
	if err := s.onlyHers(ctx, h); err != nil {
		return wire.Answered{}, err
	}
	shown, err := s.toShow(ctx, h.BullpenID, h.Draft)
	if err != nil {
		return wire.Answered{}, err
	}
	if shown.Told, err = s.toldToHer(ctx, h.BullpenID); err != nil {
		return wire.Answered{}, err
	}
	h.Sent.Seen = min(in.Body.Seen, s.deps.Store.Now())
	if err := s.deps.Shelf.Send(ctx, h, &shown); err != nil {
		return wire.Answered{}, err
	}
	out, err := s.getHomework(ctx, &byID{ID: in.ID})
	if err != nil {
		return wire.Answered{}, err
	}
	her, err := s.deps.Store.Pitcher(ctx, h.PitcherID)
	return wire.Answered{Homework: out, ShareText: answerText(h, texts.LanguageOf(her.Language))}, err
}

// answerText is what an instructor may copy into a message: the link is the one the
// student has, which nobody but she knows.
func answerText(h bullpen.Homework, l texts.Language) string {
	return l.Say("answer.message", texts.V{"title": h.Workout.Title})
}
