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
	"sync"
	"sync/atomic"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/blob"
	"tenoff/internal/deliverysheet"
	"tenoff/internal/field"
	"tenoff/internal/homework"
	"tenoff/internal/intake"
	"tenoff/internal/jobs"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// Deps is all that a server needs. Only Log may be left out; the document
// (Server.Document) needs none of it.
type Deps struct {
	Version  string       // the program's, as /api/health tells it
	Log      *slog.Logger // default: nothing is logged
	Page     Page
	Store    *store.Store
	Blobs    *blob.Store
	Jobs     *jobs.Queue
	Intake   *intake.Intake
	Judged   *judged.Bullpens
	Shelf    *shelf.Shelf
	Proposer *propose.Proposer
	Joints   *propose.Joints
	Field    *field.Field

	Homework *homework.Homework
	Access   Access
	// Answered, unless nil, is told of every answer: its route is a pattern, "" for what is
	// no operation.
	Answered func(method, route string, status int, took time.Duration)
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

	names   assetNames
	guesses attempts // of slips' tokens
	// Where passphrases are tried: by whoever comes from elsewhere, by whoever sits at
	// the machine, and by whoever is signed in and changes hers.
	front, inside, changing door

	checking chan struct{} // bodies that are being checked
	bodyTime time.Duration

	// heartbeat is how often a quiet event stream shows that it is alive.
	heartbeat time.Duration
	closing   chan struct{}
	close     func()
	leaving   atomic.Bool
}

// New returns a server over deps.
func New(deps Deps) *Server {
	gin.SetMode(gin.ReleaseMode)
	s := &Server{deps: deps, log: deps.Log, engine: gin.New(), heartbeat: 15 * time.Second, closing: make(chan struct{})}
	s.checking, s.bodyTime = make(chan struct{}, atOnce()), bodyTime
	s.guesses = newAttempts(2*time.Second, 30)
	s.front, s.inside = newDoor(newAttempts(20*time.Second, 5).across(deps.Store, "front")), newDoor(newAttempts(5*time.Second, 30))
	s.changing = newDoor(newAttempts(20*time.Second, 5).across(deps.Store, "changing"))
	s.close = sync.OnceFunc(func() { close(s.closing) })
	if s.log == nil {
		s.log = slog.New(slog.DiscardHandler)
	}
	if deps.Page.Built {
		s.names = namesOf(deps.Page.Files)
	}
	s.engine.HandleMethodNotAllowed = true
	s.engine.RedirectTrailingSlash = false
	s.engine.Use(s.logged, s.caught)
	s.engine.NoRoute(s.elsewhere)
	s.engine.NoMethod(s.wrongMethod)
	s.api = newAPI(s.engine, deps.Version)
	s.routes()
	s.handler = s.named(headers(s.inTime(s.guard(s.stays(s.admit(packed(s.engine)))))))
	return s
}

// ServeHTTP implements http.Handler.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close ends the event streams, which would otherwise never let a shutdown end.
func (s *Server) Close() { s.close() }

// Leave has films go to other servers from now on: this one is about to stop.
func (s *Server) Leave() { s.leaving.Store(true) }

// resource is what a file of this folder serves: a small struct with only what it needs.
type resource interface {
	routes(s *Server) // registers its operations
}

// resources lists them.
func (d Deps) resources() []resource {
	return []resource{
		levels{d.Store}, bands{d.Store, d.Judged}, trustRules{d.Store, d.Judged},
		drills{d.Store}, workouts{d.Store}, jobList{d.Jobs, d.Store}, settings{d.Store, d.Homework},
		told{d.Judged}, deliveries{d.Judged, deliverysheet.New(d.Blobs)},
		fieldPage{d.Store}, fieldLinks{d.Store, d.Access}, fieldReadings{d.Store, d.Field},
		stills{d, make(chan struct{}, 1)},
		shares{d.Store, d.Judged, d.Shelf, d.Homework, d.Access},
		filmJoints{d.Store, d.Joints, d.Judged}, giveaways{d.Judged},
		moves{d.Store, d.Homework}, academy{d.Store, d.Blobs},
	}
}

// routes registers every operation, a resource at a time.
func (s *Server) routes() {
	for _, r := range s.deps.resources() {
		r.routes(s)
	}
	s.documentRoute()
	s.metaRoutes()
	s.homeRoutes()
	s.pitcherRoutes()
	s.bullpenRoutes()
	s.filmRoutes()
	s.repRoutes()
	s.readingRoutes()
	s.clipRoutes()
	s.downloadRoutes()
	s.eventRoutes()
	s.pairRoutes()
	s.proposalRoutes()
	s.bodyRoutes()
	s.consentRoutes()
	s.homeworkRoutes()
	s.slipRoutes()
	s.slipSideRoutes()
	s.planRoutes()
	s.drawingRoutes()
	s.sessionRoutes()
	s.removalRoutes()
}
