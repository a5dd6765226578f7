package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// drills are the instructor's.
type drills struct{ store *store.Store }

func (l drills) routes(s *Server) {
	serve(s, op("listDrills", http.MethodGet, "/api/drills", "The instructor's drills"), l.listDrills)
	serve(s, op("addDrill", http.MethodPost, "/api/drills", "Add a drill"), l.addDrill)
	serve(s, op("editDrill", http.MethodPatch, "/api/drills/{id}", "Change a drill; what was handed out stays as it was"), l.editDrill)
	serve(s, op("removeDrill", http.MethodDelete, "/api/drills/{id}", "Remove a drill; what was handed out keeps it"), l.removeDrill)
}

func (l drills) listDrills(ctx context.Context, _ *struct{}) (wire.DrillList, error) {
	all, err := l.store.Drills(ctx)
	return wire.DrillList{Drills: drillsOf(all)}, err
}

func drillsOf(all []bullpen.Drill) []wire.Drill {
	out := make([]wire.Drill, len(all))
	for i, d := range all {
		out[i] = wire.DrillOf(d)
	}
	return out
}

func (l drills) addDrill(ctx context.Context, in *sent[wire.NewDrill]) (wire.Drill, error) {
	d := bullpen.Drill{Name: in.Body.Name, HowTo: in.Body.HowTo, ClipID: in.Body.ClipID}
	if err := d.Check(); err != nil {
		return wire.Drill{}, err
	}
	d, err := l.store.AddDrill(ctx, d)
	return wire.DrillOf(d), err
}

func (l drills) editDrill(ctx context.Context, in *to[wire.DrillEdit]) (wire.Drill, error) {
	d, err := l.store.Drill(ctx, in.ID)
	if err != nil {
		return wire.Drill{}, err
	}
	in.Body.Onto(&d)
	if err := d.Check(); err != nil {
		return wire.Drill{}, err
	}
	d, err = l.store.SaveDrill(ctx, d)
	return wire.DrillOf(d), err
}

func (l drills) removeDrill(ctx context.Context, in *byID) (wire.DrillList, error) {
	if err := l.store.RemoveDrill(ctx, in.ID); err != nil {
		return wire.DrillList{}, err
	}
	return l.listDrills(ctx, nil)
}
