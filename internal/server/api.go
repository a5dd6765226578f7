package server

import (
	"context"
	"errors"
	"net/http"
	"reflect"
	"strings"
	"syscall"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
)

const aboutAPI = "Everything the page does. In answers a field that may be missing is left out, never null. " +
	"In a PATCH body a field left out stays as it is, null clears it, and version must be the one last seen " +
	"(409 otherwise). Errors are problem details (RFC 9457) whose detail is one sentence for the user."

// newAPI puts an empty API on engine.
func newAPI(engine *gin.Engine, version string) huma.API {
	config := huma.DefaultConfig("tenoff", version)
	config.Info.Description = aboutAPI
	config.CreateHooks = nil // no $schema links in bodies
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = "", "", ""
	config.Transformers = []huma.Transformer{readable}
	wire.Enums(config.Components.Schemas)
	return humagin.New(engine, config)
}

// Document returns the OpenAPI 3.1 document.
func (s *Server) Document() *huma.OpenAPI { return s.api.OpenAPI() }

// op is an operation in short: its id becomes the client's function. A POST
// answers 201, see with200.
func op(id, method, path, summary string) huma.Operation {
	tag, _, _ := strings.Cut(strings.TrimPrefix(path, "/api/"), "/")
	o := huma.Operation{
		OperationID: id, Method: method, Path: path, Summary: summary,
		Tags: []string{tag}, MaxBodyBytes: usualBody, DefaultStatus: http.StatusOK,
	}
	if method == http.MethodPost {
		o.DefaultStatus = http.StatusCreated
	}
	return o
}

// answering sets the status of an operation's success.
func answering(status int, o huma.Operation) huma.Operation {
	o.DefaultStatus = status
	return o
}

// body is an answer that is nothing but a JSON body.
type body[T any] struct{ Body T }

// serve registers an operation that answers with a T.
func serve[In, T any](s *Server, o huma.Operation, act func(context.Context, *In) (T, error)) {
	if takesBody[In]() {
		o.Middlewares = append(o.Middlewares, s.whole(o.MaxBodyBytes))
		o.MaxBodyBytes, o.BodyReadTimeout = -1, -1 // that was seen to
	}
	if whoMay(o.Path) == instructor {
		o.Middlewares = append(o.Middlewares, s.ahead)
	}
	huma.Register(s.api, o, func(ctx context.Context, in *In) (*body[T], error) {
		checked(ctx)
		out, err := act(ctx, in)
		if err != nil {
			return nil, later(s.problemOf(ctx, err))
		}
		return &body[T]{out}, nil
	})
}

// ahead has films that arrive give way to an answer.
func (s *Server) ahead(ctx huma.Context, next func(huma.Context)) {
	defer s.deps.Intake.Throttle().Answering()()
	next(ctx)
}

// stream registers an operation whose body isn't JSON: o documents it, and handle
// answers it. mime is the answer's type, "" when o brings its own responses.
func (s *Server) stream(o huma.Operation, mime string, handle func(*gin.Context) error) {
	for _, name := range pathNames(o.Path) {
		o.Parameters = append(o.Parameters, &huma.Param{
			Name: name, In: "path", Required: true, Schema: &huma.Schema{Type: huma.TypeString},
		})
	}
	if mime != "" {
		o.Responses = map[string]*huma.Response{"200": content("OK", mime, &huma.Schema{Type: huma.TypeString, Format: "binary"})}
	}
	o.Responses["default"] = content("Error", "application/problem+json", schema[huma.ErrorModel](s))
	s.api.OpenAPI().AddOperation(&o)
	path := strings.NewReplacer("{", ":", "}", "").Replace(o.Path)
	s.engine.Handle(o.Method, path, func(c *gin.Context) {
		err := handle(c)
		switch {
		case err == nil:
		case c.Writer.Written():
			// Half an answer is out: it must not look whole, and no sentence can
			// be written into a film.
			if !left(c, err) {
				s.log.WarnContext(c.Request.Context(), "answer broken off", "route", c.FullPath(), "err", err)
			}
			panic(http.ErrAbortHandler)
		default:
			writeProblem(c.Writer, s.problemOf(c.Request.Context(), err))
		}
	})
}

// left reports whether an answer broke off because nobody listens any more.
func left(c *gin.Context, err error) bool {
	return c.Request.Context().Err() != nil || errors.Is(err, syscall.EPIPE) || errors.Is(err, syscall.ECONNRESET)
}

func content(about, mime string, schema *huma.Schema) *huma.Response {
	return &huma.Response{Description: about, Content: map[string]*huma.MediaType{mime: {Schema: schema}}}
}

// schema returns a reference to T's schema.
func schema[T any](s *Server) *huma.Schema {
	return s.api.OpenAPI().Components.Schemas.Schema(reflect.TypeFor[T](), true, "")
}

func pathNames(path string) []string {
	var names []string
	for part := range strings.SplitSeq(path, "/") {
		if strings.HasPrefix(part, "{") {
			names = append(names, strings.Trim(part, "{}"))
		}
	}
	return names
}
