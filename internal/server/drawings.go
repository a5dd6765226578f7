package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) drawingRoutes() {
	serve(s, op("listDrawings", http.MethodGet, "/api/reps/{id}/drawings", "What was drawn on a rep's frames"), s.listDrawings)
	serve(s, upTo(largeBody, op("saveDrawing", http.MethodPut, "/api/reps/{id}/drawings/{frame}", "Draw on a frame; no shapes removes the drawing")), s.saveDrawing)
}

// onFilm returns a rep and its film.
func (s *Server) onFilm(ctx context.Context, repID string) (bullpen.Rep, store.Film, error) {
	r, err := s.deps.Store.Rep(ctx, repID)
	if err != nil {
		return r, store.Film{}, err
	}
	if r.FilmID == "" {
		return r, store.Film{}, bullpen.Errorf(bullpen.Invalid, "Rep %d is not on film, so there is nothing to draw on.", r.Order)
	}
	f, err := s.deps.Store.Film(ctx, r.FilmID)
	return r, f, err
}

func (s *Server) listDrawings(ctx context.Context, in *byID) (wire.DrawingList, error) {
	_, f, err := s.onFilm(ctx, in.ID)
	if err != nil {
		return wire.DrawingList{}, err
	}
	list, err := s.deps.Store.Drawings(ctx, in.ID)
	out := wire.DrawingList{Drawings: make([]wire.Drawing, len(list))}
	for i, d := range list {
		out.Drawings[i] = wire.DrawingOf(d, f.Width, f.Height)
	}
	return out, err
}

type saveDrawing struct {
	ID    string `path:"id" maxLength:"64"`
	Frame int    `path:"frame" minimum:"0" maximum:"10000000"`
	Body  wire.DrawingEdit
}

func (s *Server) saveDrawing(ctx context.Context, in *saveDrawing) (wire.Drawing, error) {
	_, f, err := s.onFilm(ctx, in.ID)
	if err != nil {
		return wire.Drawing{}, err
	}
	if in.Frame >= f.Clock.Frames() {
		return wire.Drawing{}, bullpen.Errorf(bullpen.Invalid, "Frame %d lies after the end of the film.", in.Frame)
	}
	d := in.Body.Drawing(in.ID, in.Frame)
	if err := d.Check(); err != nil {
		return wire.Drawing{}, err
	}
	d, err = s.deps.Store.SaveDrawing(ctx, d)
	return wire.DrawingOf(d, f.Width, f.Height), err
}
