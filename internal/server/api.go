package server

import (
	"context"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humagin"
	"github.com/gin-gonic/gin"

	"tenoff/internal/server/wire"
)

const aboutAPI = "Everything the page does. In answers a field that may be missing is left out, never null. " +
	"In a PATCH body a field left out stays as it is, null clears it, and version must be the one last seen " +
	"(409 otherwise). Errors are problem details (RFC 9457) whose detail is one sentence for the user."

// newAPI puts an empty API on engine; its document is served at /api/openapi.json.
func newAPI(engine *gin.Engine, version string) huma.API {
	config := huma.DefaultConfig("tenoff", version)
	config.Info.Description = aboutAPI
	config.CreateHooks = nil // no $schema links in bodies
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = "", "", ""
	wire.Enums(config.Components.Schemas)
	return humagin.New(engine, config)
}

// Document returns the OpenAPI 3.1 document.
func (s *Server) Document() *huma.OpenAPI { return s.api.OpenAPI() }

// op is an operation's short description: its id becomes the client's function.
func op(id, method, path, summary string) huma.Operation {
	tag, _, _ := strings.Cut(strings.TrimPrefix(path, "/api/"), "/")
	o := huma.Operation{
		OperationID: id, Method: method, Path: path, Summary: summary,
		Tags: []string{tag}, MaxBodyBytes: 1 << 20,
	}
	if method == http.MethodPost && !strings.Contains(path, "{id}") {
		o.DefaultStatus = http.StatusCreated
	}
	return o
}

// body is an answer that is nothing but a JSON body.
type body[T any] struct{ Body T }

// serve registers an operation that answers with a T.
func serve[In, T any](s *Server, o huma.Operation, act func(context.Context, *In) (T, error)) {
	huma.Register(s.api, o, func(ctx context.Context, in *In) (*body[T], error) {
		out, err := act(ctx, in)
		if err != nil {
			return nil, s.problem(ctx, o, err)
		}
		return &body[T]{out}, nil
	})
}

// stream registers an operation whose body isn't JSON: it is documented by o, and
// handle answers it. mime is the answer's type, "" when o has its responses.
func (s *Server) stream(o huma.Operation, mime string, handle func(*gin.Context) error) {
	for _, name := range pathNames(o.Path) {
		o.Parameters = append(o.Parameters, &huma.Param{
			Name: name, In: "path", Required: true, Schema: &huma.Schema{Type: huma.TypeString},
		})
	}
	if mime != "" {
		o.Responses = map[string]*huma.Response{"200": {
			Description: "OK",
			Content:     map[string]*huma.MediaType{mime: {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}},
		}}
	}
	problem := s.schema((*huma.ErrorModel)(nil))
	o.Responses["default"] = &huma.Response{
		Description: "Error",
		Content:     map[string]*huma.MediaType{"application/problem+json": {Schema: problem}},
	}
	s.api.OpenAPI().AddOperation(&o)
	path := strings.NewReplacer("{", ":", "}", "").Replace(o.Path)
	s.engine.Handle(o.Method, path, func(c *gin.Context) {
		if err := handle(c); err != nil {
			s.writeProblem(c, o, err)
		}
	})
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
