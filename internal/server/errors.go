package server

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
)

// statuses maps what the caller can do about an error to HTTP.
func status(code bullpen.Code) int {
	switch code {
	case bullpen.Invalid:
		return http.StatusUnprocessableEntity
	case bullpen.NotFound:
		return http.StatusNotFound
	case bullpen.Conflict:
		return http.StatusConflict
	case bullpen.Refused:
		return http.StatusUnsupportedMediaType
	case bullpen.Unavailable:
		return http.StatusServiceUnavailable
	}
	return http.StatusInternalServerError
}

// problem is the one place where an error becomes an answer.
func (s *Server) problem(_ context.Context, _ huma.Operation, err error) huma.StatusError {
	return huma.NewError(status(bullpen.CodeOf(err)), bullpen.MessageOf(err))
}

func (s *Server) writeProblem(c *gin.Context, o huma.Operation, err error) {
	p := s.problem(c, o, err)
	c.Header("Content-Type", "application/problem+json")
	c.Status(p.GetStatus())
	_ = json.NewEncoder(c.Writer).Encode(p)
}

// schema returns a reference to the schema of what v points to.
func (s *Server) schema(v any) *huma.Schema {
	return s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeOf(v).Elem(), true, "")
}

func notYet() error { return huma.Error501NotImplemented("Not built yet.") }
