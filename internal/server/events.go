package server

import (
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
)

func (s *Server) eventRoutes() {
	s.stream(s.eventsOp(), "", s.events)
}

// eventsOp describes the stream: its two kinds of event are in the document as
// schemas, though OpenAPI has no words for server-sent events themselves.
func (s *Server) eventsOp() huma.Operation {
	o := op("events", http.MethodGet, "/api/events", "Server-sent events: job (a Job) and bullpen (a BullpenEvent)")
	o.Responses = map[string]*huma.Response{"200": content("OK", "text/event-stream", &huma.Schema{
		OneOf: []*huma.Schema{schema[wire.Job](s), schema[wire.BullpenEvent](s)},
	})}
	return o
}

func (s *Server) events(*gin.Context) error { return notYet() }
