package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
)

func (s *Server) homeRoutes() {
	serve(s, op("home", http.MethodGet, "/api/home", "What the first page shows"), s.home)
}

func (s *Server) home(context.Context, *struct{}) (wire.Home, error) { return wire.Home{}, notYet() }
