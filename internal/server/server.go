// Package server is tenoff over HTTP: a JSON API described by OpenAPI, the films
// and clips as files, events, and the page.
//
// Handlers are thin: they parse, act through the packages that know, and answer.
// Errors go out through one writer, as RFC 9457 problem details.
package server

import (
	"io/fs"
	"log/slog"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// Deps is all that a server needs. Only Version and Log may be left out; the
// document (Server.Document) needs none of it.
type Deps struct {
	Version string       // the program's, as /api/health tells it
	Log     *slog.Logger // default: nothing is logged
	Page    Page
}

// Page is what a browser loads.
type Page struct {
	Files fs.FS // index.html and assets/
	Built bool  // false: only a sentence is served in its place
}

// Server answers HTTP. It is an http.Handler.
type Server struct {
	deps    Deps
	log     *slog.Logger
	engine  *gin.Engine
	api     huma.API
	handler http.Handler
}

// New returns a server over deps.
func New(deps Deps) *Server {
	gin.SetMode(gin.ReleaseMode)
	s := &Server{deps: deps, log: deps.Log, engine: gin.New()}
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	s.engine.HandleMethodNotAllowed = true
	s.engine.RedirectTrailingSlash = false
	s.engine.Use(s.logged, s.caught)
	s.engine.NoRoute(s.elsewhere)
	s.engine.NoMethod(s.wrongMethod)
	s.api = newAPI(s.engine, deps.Version)
	s.routes()
	s.handler = headers(s.guard(s.engine))
	return s
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// routes registers every operation, a resource at a time.
func (s *Server) routes() {
	s.documentRoute()
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
