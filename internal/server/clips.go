package server

import (
	"context"
	"net/http"

	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

func (s *Server) clipRoutes() {
	serve(s, answering(http.StatusAccepted, upTo(largeBody, op("makeClips", http.MethodPost, "/api/bullpens/{id}/clips", "Make clips of all reps or of some"))), s.makeClips)
	serve(s, answering(http.StatusAccepted, op("makePair", http.MethodPost, "/api/pairs", "Make a side by side of two reps")), s.makePair)
	serve(s, op("getClip", http.MethodGet, "/api/clips/{id}", "One clip"), s.getClip)
	serve(s, answering(http.StatusOK, op("sayMissing", http.MethodPost, "/api/captions", "What of a typed text can't be burned into a clip")), s.sayMissing)
	serve(s, op("removeClip", http.MethodDelete, "/api/clips/{id}", "Take a clip off the shelf"), s.removeClip)
}

func (s *Server) makeClips(ctx context.Context, in *to[wire.NewClips]) (wire.ClipList, error) {
	o := in.Body.Options
	made, left, err := s.deps.Shelf.Make(ctx, in.ID, in.Body.RepIDs, shelf.Options{
		Window: clip.Window{Before: o.Before, After: o.After}, Slow: o.Slow, Label: o.Label, Body: o.Body, Drawings: o.Drawings, Lines: o.Lines,
	})
	if err != nil {
		return wire.ClipList{}, err
	}
	b, err := s.deps.Judged.Of(ctx, in.ID)
	if err != nil {
		return wire.ClipList{}, err
	}
	entries, err := s.deps.Shelf.Entries(ctx, b)
	if err != nil {
		return wire.ClipList{}, err
	}
	out := wire.ClipList{Clips: []wire.Clip{}, Left: append([]string{}, left...)}
	wanted := map[string]bool{}
	for _, c := range made {
		wanted[c.ID] = true
	}
	for _, e := range entries {
		if wanted[e.ID] {
			out.Clips = append(out.Clips, clipOf(e))
		}
	}
	return out, nil
}

func (s *Server) makePair(ctx context.Context, in *sent[wire.NewPair]) (wire.Clip, error) {
	c, err := s.deps.Shelf.MakePair(ctx, in.Body.OffRepID, in.Body.FastRepID, shelf.Options{
		Window: clip.Window{Before: in.Body.Before, After: in.Body.After},
		Speed:  in.Body.Speed, Blend: in.Body.Blend, Body: in.Body.Body, Drawings: in.Body.Drawings, Lines: in.Body.Lines,
		Difference: in.Body.Difference, Phases: in.Body.Phases, Stretch: in.Body.Stretch,
	})
	if err != nil {
		return wire.Clip{}, err
	}
	return s.getClip(ctx, &byID{ID: c.ID})
}

func (s *Server) getClip(ctx context.Context, in *byID) (wire.Clip, error) {
	e, err := s.deps.Shelf.Entry(ctx, in.ID)
	return clipOf(e), err
}

func (s *Server) sayMissing(_ context.Context, in *sent[wire.CaptionAsked]) (wire.CaptionAnswer, error) {
	missing, err := caption.Missing(in.Body.Text)
	return wire.CaptionAnswer{Missing: missing}, err
}

func (s *Server) removeClip(ctx context.Context, in *byID) (wire.Removed, error) {
	return removed(s.deps.Intake.RemoveClip(ctx, in.ID))
}

func clipsOf(entries []shelf.Entry) []wire.Clip {
	out := make([]wire.Clip, len(entries))
	for i, e := range entries {
		out[i] = clipOf(e)
	}
	return out
}

func clipOf(e shelf.Entry) wire.Clip {
	out := wire.Clip{
		ID: e.ID, BullpenID: e.BullpenID, Kind: e.Kind, RepIDs: []string{e.RepID}, State: e.State,
		Playable: e.Made, Drawings: e.Drawings, Lines: e.Lines, Stale: e.Stale, Problem: e.Problem, JobID: e.JobID, FileName: e.FileName, Edition: e.Shows,
		Bytes: e.Bytes, Seconds: e.Seconds, ReleaseSeconds: e.ReleaseAt,
	}
	if e.OtherID != "" {
		out.RepIDs = append(out.RepIDs, e.OtherID)
	}
	if e.State == string(store.JobQueued) || e.State == "rendering" {
		out.Progress = &e.Progress
	}
	return out
}
