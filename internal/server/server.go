// Package server is tenoff over HTTP: a JSON API described by OpenAPI, the films
// and clips as files, events, and the page.
//
// Handlers are thin: they parse, act through the packages that know, and answer.
// Errors go out through one writer, as RFC 9457 problem details.
package server

import (
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// Deps is all that a server needs; every field is required unless it says so.
type Deps struct {
	// Version is the program's, as /api/health tells it.
	Version string
}

// Server answers HTTP. It is an http.Handler.
type Server struct {
	deps   Deps
	engine *gin.Engine
	api    huma.API
}

// New returns a server over deps.
func New(deps Deps) *Server {
	gin.SetMode(gin.ReleaseMode)
	s := &Server{deps: deps, engine: gin.New()}
	s.engine.HandleMethodNotAllowed = true
	s.api = newAPI(s.engine, deps.Version)
	s.routes()
	return s
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.engine.ServeHTTP(w, r) }

// routes registers every operation, a resource at a time.
func (s *Server) routes() {
	s.metaRoutes()
	s.homeRoutes()
	s.pitcherRoutes()
	s.bullpenRoutes()
	s.filmRoutes()
	s.repRoutes()
	s.readingRoutes()
	s.clipRoutes()
	s.jobRoutes()
	s.eventRoutes()
}
