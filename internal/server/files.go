package server

import (
	"bytes"
	"io"
	"mime"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// serveFile answers with the file of a key, whole or by ranges.
func (s *Server) serveFile(c *gin.Context, key, mime string) error {
	f, err := s.deps.Blobs.Open(c.Request.Context(), key)
	if err != nil {
		return err
	}
	defer f.Close()
	return serveContent(c, f, mime, key)
}

func serveBytes(c *gin.Context, data []byte, mime, tag string) error {
	return serveContent(c, bytes.NewReader(data), mime, tag)
}

// serveContent answers with what f holds, whole or by ranges. tag names the very
// bytes, which never change under it; a browser must ask each time all the same,
// because film that was deleted is gone.
func serveContent(c *gin.Context, f io.ReadSeeker, mime, tag string) error {
	h := c.Writer.Header()
	h.Set("Content-Type", mime)
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Etag", entityTag(tag))
	http.ServeContent(c.Writer, c.Request, "", time.Time{}, f)
	return nil
}

// entityTag is how HTTP writes a tag.
func entityTag(tag string) string { return `"` + strings.ReplaceAll(tag, "/", ".") + `"` }

// downloadable lets an operation's answer be kept as a file, see saveAs.
func downloadable(o huma.Operation) huma.Operation {
	o.Parameters = append(o.Parameters, &huma.Param{
		Name: "download", In: "query", Description: "1: save it as a file",
		Schema: &huma.Schema{Type: huma.TypeString, Enum: []any{"1"}},
	})
	return o
}

// saveAs makes a browser keep the answer as a file when it was asked to.
func saveAs(c *gin.Context, name string) {
	if c.Query("download") != "" {
		attach(c, name)
	}
}

func attach(c *gin.Context, name string) {
	c.Header("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
}
