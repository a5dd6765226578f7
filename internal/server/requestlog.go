package server

import (
	"log/slog"
	"net/http"
	"runtime/debug"
	"time"

	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
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
