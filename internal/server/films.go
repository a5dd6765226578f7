package server

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
)

func (s *Server) filmRoutes() {
	s.stream(s.uploadOp(), "", s.uploadFilm)
	serve(s, op("getFilm", http.MethodGet, "/api/films/{id}", "One film"), s.getFilm)
	serve(s, op("editFilm", http.MethodPatch, "/api/films/{id}", "Change a film's slow factor, view or place"), s.editFilm)
	serve(s, op("removeFilm", http.MethodDelete, "/api/films/{id}", "Delete a film with its reps and clips, or dismiss a refused one"), s.removeFilm)
	serve(s, op("getClock", http.MethodGet, "/api/films/{id}/clock", "When every frame is on show"), s.getClock)
	s.stream(op("getWorking", http.MethodGet, "/api/films/{id}/working.mp4", "The working copy, by ranges"), "video/mp4", s.getWorking)
	s.stream(op("getStripPicture", http.MethodGet, "/api/films/{id}/strip/{picture}", "One picture along the timeline: 0.jpg, 1.jpg ..."), "image/jpeg", s.getStripPicture)
	serve(s, op("getTraces", http.MethodGet, "/api/films/{id}/traces", "Motion and sound, thinned out for drawing"), s.getTraces)
}

// uploadOp describes the upload by hand: its body is the film itself.
func (s *Server) uploadOp() huma.Operation {
	o := op("uploadFilm", http.MethodPut, "/api/bullpens/{id}/films", "Send a film: the request's body is the file")
	o.Parameters = []*huma.Param{{
		Name: "name", In: "query", Required: true, Description: "the file's name, as the phone named it",
		Schema: &huma.Schema{Type: huma.TypeString},
	}}
	o.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{
		"application/octet-stream": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}},
	}}
	result := schema[wire.UploadResult](s)
	o.Responses = map[string]*huma.Response{
		"200": content("The bullpen already had this very file", "application/json", result),
		"201": content("Added; it is being read", "application/json", result),
	}
	return o
}

func (s *Server) uploadFilm(*gin.Context) error { return notYet() }

func (s *Server) getFilm(context.Context, *byID) (wire.Film, error) { return wire.Film{}, notYet() }

func (s *Server) editFilm(context.Context, *to[wire.FilmEdit]) (wire.Film, error) {
	return wire.Film{}, notYet()
}

func (s *Server) removeFilm(context.Context, *remove) (wire.Removed, error) {
	return wire.Removed{}, notYet()
}

func (s *Server) getClock(context.Context, *byID) (wire.Clock, error) { return wire.Clock{}, notYet() }

func (s *Server) getWorking(*gin.Context) error { return notYet() }

func (s *Server) getStripPicture(*gin.Context) error { return notYet() }

type getTraces struct {
	ID     string `path:"id" maxLength:"64"`
	Points int    `query:"points" minimum:"16" maximum:"20000" default:"2000" doc:"slices to thin out to"`
}

func (s *Server) getTraces(context.Context, *getTraces) (wire.Traces, error) {
	return wire.Traces{}, notYet()
}
