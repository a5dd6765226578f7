package server

import (
	"log/slog"
	"net/http"
	"regexp"
	"runtime/debug"
	"strings"
	"time"

	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
	"tenoff/internal/errand"
	"tenoff/internal/homework"
)

// logged writes one line a request. It names the route, not the address: labels,
// file names and search words never get into the log, random ids do.
func (s *Server) logged(c *gin.Context) {
	began := time.Now()
	c.Next()
	level := slog.LevelDebug
	if c.Writer.Status() >= http.StatusInternalServerError && c.Request.Context().Err() == nil { // else whoever asked is gone
		level = slog.LevelError
	} else if c.Request.Method != http.MethodGet && c.Request.Method != http.MethodHead {
		level = slog.LevelInfo
	}
	s.log.Log(c.Request.Context(), level, "request",
		"method", c.Request.Method, "route", c.FullPath(), "id", c.Param("id"),
		"status", c.Writer.Status(), "bytes", c.Writer.Size(), "took", time.Since(began))
	if s.deps.Answered != nil {
		s.deps.Answered(c.Request.Method, c.FullPath(), c.Writer.Status(), time.Since(began))
	}
}

// named gives a request its errand, which its lines in the log, the jobs that follow from it
// and their lines name; whoever asked is told it. A proxy that is believed may have given it
// a name already.
func (s *Server) named(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := errand.New()
		if given := r.Header.Get(errandHeader); s.proxied(r) && errandForm.MatchString(given) {
			name = given
		}
		w.Header().Set(errandHeader, name)
		next.ServeHTTP(w, r.WithContext(errand.With(r.Context(), name)))
	})
}

const errandHeader = "X-Request-Id"

var errandForm = regexp.MustCompile(`^[A-Za-z0-9._-]{1,64}$`)

// stays refuses films while the server is about to stop: they take long, and other servers
// may be there to take them.
func (s *Server) stays(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		film := r.Method == http.MethodPut && under(r.URL.Path, "/api/bullpens") && strings.HasSuffix(r.URL.Path, "/films") ||
			(r.Method == http.MethodPost || r.Method == http.MethodPatch) && under(r.URL.Path, strings.TrimSuffix(homework.Base, "/"))
		if film && s.leaving.Load() {
			w.Header().Set("Retry-After", "2")
			w.Header().Set("Connection", "close")
			language := languageFor(readIn(r).Context(), "")
			writeProblem(w, refusal(http.StatusServiceUnavailable, language.Given("This server is about to stop; send the film again in a moment.")))
			return
		}
		next.ServeHTTP(w, r)
	})
}

// caught turns a handler's panic into an answer; the stack goes into the log only.
func (s *Server) caught(c *gin.Context) {
	defer func() {
		p := recover()
		if p == nil {
			return
		}
		if p == http.ErrAbortHandler {
			panic(p)
		}
		s.log.ErrorContext(c.Request.Context(), "handler panicked",
			"panic", p, "route", c.FullPath(), "stack", string(debug.Stack()))
		if c.Writer.Written() {
			panic(http.ErrAbortHandler) // half an answer must not look whole
		}
		writeProblem(c.Writer, refusal(http.StatusInternalServerError, bullpen.MessageOf(nil)))
	}()
	c.Next()
}
