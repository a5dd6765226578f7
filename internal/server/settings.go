package server

import (
	"context"
	"net/http"
	"strconv"

	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
)

func (s *Server) settingRoutes() {
	serve(s, op("getSettings", http.MethodGet, "/api/settings", "Your settings"), s.getSettings)
	serve(s, op("saveSettings", http.MethodPut, "/api/settings", "Change your settings"), s.saveSettings)
}

func (s *Server) getSettings(ctx context.Context, _ *struct{}) (wire.Settings, error) {
	days, err := s.deps.Homework.KeepDays(ctx)
	return wire.Settings{KeepDays: days}, err
}

func (s *Server) saveSettings(ctx context.Context, in *sent[wire.Settings]) (wire.Settings, error) {
	if err := s.deps.Store.SaveSetting(ctx, homework.KeepSetting, strconv.Itoa(in.Body.KeepDays)); err != nil {
		return wire.Settings{}, err
	}
	return s.getSettings(ctx, nil)
}
