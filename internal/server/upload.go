package server

import (
	"errors"
	"io"
	"net/http"
	"os"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// stall is how long an upload may stand still. There is no limit on the whole of
// it: a long film over a slow connection takes what it takes.
const stall = 60 * time.Second

// uploadOp describes the upload by hand: its body is the film itself.
func (s *Server) uploadOp() huma.Operation {
	o := op("uploadFilm", http.MethodPut, "/api/bullpens/{id}/films", "Send a film: the request's body is the file")
	o.Parameters = []*huma.Param{{
		Name: "name", In: "query", Required: true, Description: "the file's name, as the phone named it",
		Schema: &huma.Schema{Type: huma.TypeString},
	}}
	o.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{
		"application/octet-stream": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}},
	}}
	result := schema[wire.UploadResult](s)
	o.Responses = map[string]*huma.Response{
		"200": content("The bullpen already had this very file", "application/json", result),
		"201": content("Added; it is being read", "application/json", result),
	}
	return o
}

func (s *Server) uploadFilm(c *gin.Context) error {
	name := c.Query("name")
	if name == "" {
		return bullpen.Errorf(bullpen.Invalid, "A film needs a name; send it as ?name=.")
	}
	body := &patientReader{c.Request.Body, http.NewResponseController(c.Writer)}
	film, there, err := s.deps.Intake.Receive(c.Request.Context(), c.Param("id"), name, c.Request.ContentLength, body)
	if err != nil {
		body.swallow()
		return err
	}
	status := http.StatusCreated
	if there {
		status = http.StatusOK
	}
	var jobs []store.Job
	if jobs, err = s.deps.Store.Jobs(c.Request.Context(), film.BullpenID); err != nil {
		return err
	}
	c.JSON(status, wire.UploadResult{Film: s.filmOf(c.Request.Context(), film, jobs), AlreadyThere: there})
	return nil
}

// swallowing is how long a film that was refused may go on arriving.
const swallowing = time.Minute

// swallow reads what is left. A browser hears nothing before it has sent all: cut
// off, it would say that the connection broke, and not why the film was refused.
func (p *patientReader) swallow() {
	for until := time.Now().Add(swallowing); time.Now().Before(until); {
		if _, err := io.CopyN(io.Discard, p, 1<<20); err != nil {
			return
		}
	}
}

// patientReader gives every read its own deadline.
type patientReader struct {
	body io.Reader
	rc   *http.ResponseController
}

func (p *patientReader) Read(b []byte) (int, error) {
	if err := p.rc.SetReadDeadline(time.Now().Add(stall)); err != nil && !errors.Is(err, http.ErrNotSupported) {
		return 0, err
	}
	n, err := p.body.Read(b)
	if err == io.EOF {
		// A limit that passes while the film is taken in would look as if she had gone.
		_ = p.rc.SetReadDeadline(time.Time{}) // an error means that the connection is gone already
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		err = bullpen.Errorf(bullpen.Invalid, "The film stood still for %.0f seconds and was given up; send it again.", stall.Seconds())
	}
	return n, err
}
