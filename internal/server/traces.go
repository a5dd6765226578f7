package server

import (
	"context"

	"tenoff/internal/server/wire"
	"tenoff/internal/trace"
)

type getTraces struct {
	ID     string `path:"id" maxLength:"64"`
	Points int    `query:"points" minimum:"16" maximum:"20000" default:"2000" doc:"slices to thin out to"`
}

func (s *Server) getTraces(ctx context.Context, in *getTraces) (wire.Traces, error) {
	f, err := s.readyFilm(ctx, in.ID)
	if err != nil {
		return wire.Traces{}, err
	}
	out := wire.Traces{Seconds: f.Clock.Seconds(), Motion: envelope(nil), Sound: envelope(nil)}
	var motion trace.Motion
	if err := s.deps.Blobs.Load(ctx, f.Made.Motion, &motion); err != nil {
		return wire.Traces{}, err
	}
	out.Motion = envelope(motion.Envelope(out.Seconds, in.Points))
	if f.Made.Sound != "" {
		var sound trace.Sound
		if err := s.deps.Blobs.Load(ctx, f.Made.Sound, &sound); err != nil {
			return wire.Traces{}, err
		}
		out.Sound = envelope(sound.Envelope(out.Seconds, in.Points))
	}
	return out, nil
}

func envelope(pairs [][2]float32) wire.Envelope {
	out := wire.Envelope{Min: make([]float32, len(pairs)), Max: make([]float32, len(pairs))}
	for i, p := range pairs {
		out.Min[i], out.Max[i] = p[0], p[1]
	}
	return out
}
