package server

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"slices"
	"strings"
	"time"

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
		writeProblem(w, refusal(http.StatusNotFound, languageFor(r.Context(), "").Given("There is nothing at this address.")))
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

// phonePages are the pages that private links lead to, small for a phone: to a homework,
// to a bullpen's result, and to the field. They have one shell, in which phoneMark stands
// for the name of a page's own script and style.
var phonePages = map[string]string{slipPage: "slip", sharePage: "share", fieldAddress: "field"}

const (
	phoneShell = "phone.html"
	phoneMark  = "PAGE"
)

func (s *Server) page(w http.ResponseWriter, r *http.Request) {
	if slices.Contains(strings.Split(r.URL.Path, "/"), "..") {
		http.Error(w, "invalid URL path", http.StatusBadRequest)
		return
	}
	name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
	phone := phonePages["/"+name]
	switch {
	case phone != "":
		name = phoneShell
	case name == phoneShell: // it is a page only once it has a name
		http.NotFound(w, r)
		return
	case "/"+name == fieldWorker: // it stands beside what it may serve
		name = "assets" + fieldWorker
	}
	asked := name
	name, kept := s.names.file(name)
	info, err := fs.Stat(s.deps.Page.Files, name)
	found := err == nil && !info.IsDir()
	if !found && strings.HasPrefix(asked, "assets/") {
		http.NotFound(w, r)
		return
	}
	if !found {
		name = "index.html"
	}
	if err := s.asset(w, r, name, phone, kept); err != nil {
		s.log.ErrorContext(r.Context(), "a part of the page can't be read", "name", name, "err", err)
		writeProblem(w, refusal(http.StatusInternalServerError, "This part of the page can't be read; build tenoff again."))
	}
}

// codings are what the page's files were packed as when it was built, the smallest first.
var codings = []struct{ name, ext string }{{"br", ".br"}, {"gzip", ".gz"}}

// asset answers with a file of the page, packed as it was built where the browser can
// unpack it: a phone far away waits for every kilobyte. phone is which of phonePages its
// shell is wanted for. A file that the browser has
// already is not sent again; one that is kept it need not even ask for.
func (s *Server) asset(w http.ResponseWriter, r *http.Request, name, phone string, kept bool) error {
	content, err := fs.ReadFile(s.deps.Page.Files, name)
	if err != nil {
		return err
	}
	h := w.Header()
	h.Set("Vary", "Accept-Encoding")
	if path.Ext(name) == ".html" {
		if phone != "" {
			content = bytes.ReplaceAll(content, []byte(phoneMark), []byte(phone))
		}
		content = s.names.into(content)
	} else {
		for _, c := range codings {
			if packed, err := fs.ReadFile(s.deps.Page.Files, name+c.ext); err == nil && unpacks(r, c.name) {
				content = packed
				h.Set("Content-Encoding", c.name)
				break
			}
		}
	}
	h.Set("ETag", `"`+digest(content)+`"`)
	h.Set("Content-Type", mime.TypeByExtension(path.Ext(name)))
	h.Set("Cache-Control", "no-cache")
	if kept {
		h.Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	w.WriteHeader(http.StatusOK) // gin had set 404 for a path without a route
	http.ServeContent(w, r, name, time.Time{}, bytes.NewReader(content))
	return nil
}

func digest(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:12])
}

// unpacks reports whether a browser takes a coding.
func unpacks(r *http.Request, coding string) bool {
	for _, taken := range strings.Split(r.Header.Get("Accept-Encoding"), ",") {
		if name, weight, _ := strings.Cut(strings.TrimSpace(taken), ";"); name == coding {
			return strings.TrimRight(strings.ReplaceAll(weight, " ", ""), ".0") != "q="
		}
	}
	return false
}
