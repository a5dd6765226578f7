package server

import (
	"io/fs"
	"net/http"
	"path"
	"strings"

	"github.com/gin-gonic/gin"
)

// unbuilt is what stands in for a page that was never built.
const unbuilt = "The page was not built into this program: run `go run ./cmd/dev build`, then start tenoff again."

// elsewhere answers every path without a route: under /api there is nothing,
// anything else is the page, whose screens have addresses of their own.
func (s *Server) elsewhere(c *gin.Context) {
	w, r := c.Writer, c.Request
	switch {
	case r.URL.Path == "/api" || strings.HasPrefix(r.URL.Path, "/api/"):
		writeProblem(w, refusal(http.StatusNotFound, "There is nothing at this address."))
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		s.wrongMethod(c)
	case !s.deps.Page.Built:
		http.Error(w, unbuilt, http.StatusServiceUnavailable)
	default:
		s.page(w, r)
	}
}

func (s *Server) wrongMethod(c *gin.Context) {
	writeProblem(c.Writer, refusal(http.StatusMethodNotAllowed, "This address doesn't take "+c.Request.Method+"."))
}

func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
	info, err := fs.Stat(s.deps.Page.Files, name)
	found := err == nil && !info.IsDir()
	if !found && strings.HasPrefix(name, "assets/") {
		http.NotFound(w, r)
		return
	}
	if !found {
		name = "index.html"
	}
	w.Header().Set("Cache-Control", "no-cache")
	w.WriteHeader(http.StatusOK) // gin had set 404 for a path without a route
	http.ServeFileFS(w, r, s.deps.Page.Files, name)
}
