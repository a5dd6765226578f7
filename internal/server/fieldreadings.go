package server

import (
	"context"
	"net/http"

	"tenoff/internal/field"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// fieldReadings is the laptop's side of the field: which reps the readings belong to.
type fieldReadings struct {
	store *store.Store
	field *field.Field
}

func (f fieldReadings) routes(s *Server) {
	serve(s, op("lookAtField", http.MethodGet, "/api/bullpens/{id}/field", "How this bullpen stands with readings from the field: which reps they belong to"), f.look)
	serve(s, answering(http.StatusOK, op("joinFieldEntries", http.MethodPost, "/api/bullpens/{id}/field/join", "Make readings from the field parts of their reps, in one step that can be undone")), f.join)
	serve(s, answering(http.StatusOK, op("undoFieldJoin", http.MethodPost, "/api/bullpens/{id}/field/undo", "Take the last such step back")), f.undo)
	serve(s, answering(http.StatusOK, op("setFieldEntriesAside", http.MethodPost, "/api/bullpens/{id}/field/aside", "Say of readings from the field that they are of no use, or that they are after all")), f.aside)
}

func (f fieldReadings) look(ctx context.Context, in *byID) (wire.FieldStanding, error) {
	look, err := f.field.Standing(ctx, in.ID)
	return wire.FieldStandingOf(look), err
}

func (f fieldReadings) join(ctx context.Context, in *to[wire.FieldChoice]) (wire.FieldStanding, error) {
	b := in.Body
	if err := f.field.Join(ctx, in.ID, field.Choice{Revision: b.Revision, Outcome: b.Way, Entries: b.Entries, Alone: b.Alone}); err != nil {
		return wire.FieldStanding{}, err
	}
	return f.look(ctx, &byID{in.ID})
}

func (f fieldReadings) undo(ctx context.Context, in *byID) (wire.FieldStanding, error) {
	kept, _, err := f.store.UndoJoin(ctx, in.ID)
	if err != nil {
		return wire.FieldStanding{}, err
	}
	out, err := f.look(ctx, in)
	out.Kept = kept
	return out, err
}

func (f fieldReadings) aside(ctx context.Context, in *to[wire.FieldAside]) (wire.FieldStanding, error) {
	if err := f.store.SetAside(ctx, in.ID, in.Body.Entries, in.Body.Back); err != nil {
		return wire.FieldStanding{}, err
	}
	return f.look(ctx, &byID{in.ID})
}
