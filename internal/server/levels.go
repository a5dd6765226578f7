package server

import (
	"context"
	"net/http"

	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// levels are those that pitchers play at, with what goes by them.
type levels struct{ store *store.Store }

func (l levels) routes(s *Server) {
	serve(s, op("levels", http.MethodGet, "/api/levels", "The levels, from the youngest"), l.list)
	serve(s, op("editLevel", http.MethodPatch, "/api/levels/{key}", "Change a level"), l.edit)
}

func (l levels) list(ctx context.Context, _ *struct{}) (wire.Levels, error) {
	all, err := l.store.Levels(ctx)
	out := wire.Levels{Levels: make([]wire.Level, len(all))}
	for i, level := range all {
		out.Levels[i] = wire.LevelOf(level.Level, level.Version)
	}
	return out, err
}

type editLevel struct {
	Key  string `path:"key" maxLength:"40"`
	Body wire.LevelEdit
}

func (l levels) edit(ctx context.Context, in *editLevel) (wire.Level, error) {
	level, err := l.store.Level(ctx, in.Key)
	if err != nil {
		return wire.Level{}, err
	}
	level.Version = in.Body.Version
	in.Body.Onto(&level.Level)
	if err := checkBands(level.Bands); err != nil {
		return wire.Level{}, err
	}
	level, err = l.store.SaveLevel(ctx, level)
	return wire.LevelOf(level.Level, level.Version), err
}
