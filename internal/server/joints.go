package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/propose"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// filmJoints are her joints in the frames of films.
type filmJoints struct {
	store  *store.Store
	joints *propose.Joints
	judged *judged.Bullpens
}

func (j filmJoints) routes(s *Server) {
	serve(s, op("getMoves", http.MethodGet, "/api/bullpens/{id}/moves", "How she moves on her off-speed pitches against her own fastballs, by her joints"), j.moves)
	serve(s, op("getMovesOverWeeks", http.MethodGet, "/api/pitchers/{id}/moves", "How she moves on her off-speed pitches against her own fastballs, bullpen by bullpen"), j.weeks)
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
	reps, err := j.store.Reps(ctx, f.BullpenID)
	if err != nil {
		return wire.Joints{}, err
	}
	var releases []float64
	for _, r := range reps {
		if r.FilmID == f.ID && from <= r.Release && r.Release <= to {
			releases = append(releases, f.Clock.RealSeconds(0, r.Release))
		}
	}
	return wire.JointsOf(from, to, track, releases), nil
}

type getMoves struct {
	ID string `path:"id" maxLength:"64"`
}

func (j filmJoints) moves(ctx context.Context, in *getMoves) (wire.MovesList, error) {
	b, err := j.judged.Of(ctx, in.ID)
	if err != nil {
		return wire.MovesList{}, err
	}
	moves, err := b.Moves(j.judged.Tracks(ctx))
	out := wire.MovesList{Pitches: make([]wire.Moves, len(moves))}
	for i, m := range moves {
		said := []string{}
		for _, d := range m.Clear() {
			said = append(said, judged.MoveSentence(d))
		}
		out.Pitches[i] = wire.Moves{Pitch: m.Pitch, Fast: m.Fast, Off: m.Off, Sentence: m.Sentence(), Differences: said, Unseen: m.Unseen()}
	}
	return out, err
}

func (j filmJoints) weeks(ctx context.Context, in *byID) (wire.MovesWeeks, error) {
	p, err := j.store.Pitcher(ctx, in.ID)
	if err != nil {
		return wire.MovesWeeks{}, err
	}
	all, err := j.judged.MovesOverWeeks(ctx, p)
	out := wire.MovesWeeks{Pitches: make([]wire.MovesOver, len(all))}
	for i, m := range all {
		over := wire.MovesOver{Pitch: m.Pitch, View: m.View, Elsewhere: m.Elsewhere, Measures: []string{}, Weeks: []wire.MovesWeek{}}
		for _, k := range m.Kinds {
			over.Measures = append(over.Measures, judged.MeasureName(k))
		}
		for _, w := range m.Weeks {
			week := wire.MovesWeek{BullpenID: w.BullpenID, Day: w.Day, Fast: w.Fast, Off: w.Off}
			for _, k := range m.Kinds {
				said, clear := w.Cell(k)
				week.Cells = append(week.Cells, wire.MovesCell{Said: said, Clear: clear})
			}
			over.Weeks = append(over.Weeks, week)
		}
		out.Pitches[i] = over
	}
	return out, err
}
