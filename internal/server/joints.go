package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/scout"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// filmJoints are her joints in the frames of films.
type filmJoints struct {
	store  *store.Store
	joints *scout.Joints
}

func (j filmJoints) routes(s *Server) {
	serve(s, op("getJoints", http.MethodGet, "/api/films/{id}/joints", "Her joints in the frames round one"), j.get)
}

type getJoints struct {
	ID    string `path:"id" maxLength:"64"`
	Frame int    `query:"frame" minimum:"0" doc:"a frame of the film"`
}

func (j filmJoints) get(ctx context.Context, in *getJoints) (wire.Joints, error) {
	f, err := j.store.Film(ctx, in.ID)
	if err != nil {
		return wire.Joints{}, err
	}
	if in.Frame >= f.Clock.Frames() {
		return wire.Joints{}, bullpen.Errorf(bullpen.Invalid, "“%s” has no frame %d.", f.Name, in.Frame)
	}
	from, to, track, err := j.joints.Round(ctx, f, in.Frame)
	if err != nil {
		return wire.Joints{}, err
	}
	return wire.JointsOf(from, to, track), nil
}
