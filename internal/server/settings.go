package server

import (
	"context"
	"net/http"
	"strconv"

	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// settings are the instructor's own.
type settings struct {
	store    *store.Store
	homework *homework.Homework
}

func (x settings) routes(s *Server) {
	serve(s, op("getSettings", http.MethodGet, "/api/settings", "Your settings"), x.getSettings)
	serve(s, op("saveSettings", http.MethodPut, "/api/settings", "Change your settings"), x.saveSettings)
}

func (x settings) getSettings(ctx context.Context, _ *struct{}) (wire.Settings, error) {
	days, err := x.homework.KeepDays(ctx)
	return wire.Settings{KeepDays: days}, err
}

func (x settings) saveSettings(ctx context.Context, in *sent[wire.Settings]) (wire.Settings, error) {
	if err := x.store.SaveSetting(ctx, homework.KeepSetting, strconv.Itoa(in.Body.KeepDays)); err != nil {
		return wire.Settings{}, err
	}
	return x.getSettings(ctx, nil)
}
