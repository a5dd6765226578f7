package server

import (
	"encoding/json"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"
)

// documentRoute serves the API's own description, itself part of it.
func (s *Server) documentRoute() {
	o := op("openapi", http.MethodGet, "/api/openapi.json", "This document")
	o.Responses = map[string]*huma.Response{
		"200": content("OK", "application/openapi+json", &huma.Schema{Type: huma.TypeObject}),
	}
	s.stream(o, "", func(c *gin.Context) error {
		doc, err := json.Marshal(s.Document())
		if err != nil {
			return err
		}
		c.Data(http.StatusOK, "application/openapi+json", doc)
		return nil
	})
}
