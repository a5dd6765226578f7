package server

import (
	"context"
	"net/http"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) repRoutes() {
	serve(s, op("listReps", http.MethodGet, "/api/reps", "Reps across bullpens, latest first"), s.listReps)
	serve(s, op("addRep", http.MethodPost, "/api/bullpens/{id}/reps", "Log a rep"), s.addRep)
	serve(s, op("editRep", http.MethodPatch, "/api/reps/{id}", "Change a rep"), s.editRep)
	serve(s, op("removeRep", http.MethodDelete, "/api/reps/{id}", "Delete a rep; it can be restored for 30 days"), s.removeRep)
	serve(s, answering(http.StatusOK, op("restoreRep", http.MethodPost, "/api/reps/{id}/restore", "Bring a deleted rep back")), s.restoreRep)
}

func (s *Server) addRep(ctx context.Context, in *to[wire.NewRep]) (wire.RepChange, error) {
	rep := in.Body.Rep(in.ID)
	if err := inOrder(rep); err != nil {
		return wire.RepChange{}, err
	}
	r, revision, err := s.deps.Store.AddRepOnce(ctx, rep, in.Body.Key)
	if err != nil {
		return wire.RepChange{}, err
	}
	s.lookAgain(ctx, r)
	return s.changed(ctx, r, revision)
}

func (s *Server) editRep(ctx context.Context, in *to[wire.RepEdit]) (wire.RepChange, error) {
	r, err := s.deps.Store.Rep(ctx, in.ID)
	if err != nil {
		return wire.RepChange{}, err
	}
	before := r
	in.Body.Onto(&r)
	if err := inOrder(r); err != nil {
		return wire.RepChange{}, err
	}
	r, revision, err := s.deps.Proposer.Save(ctx, before, r, in.Body.MarksOf)
	if err != nil {
		return wire.RepChange{}, err
	}
	if r.FilmID != before.FilmID {
		s.lookAgain(ctx, before)
		s.lookAgain(ctx, r)
	} else if r.FilmID != "" && r.Release != before.Release {
		s.look(ctx, r.FilmID)
	}
	return s.changed(ctx, r, revision)
}

// inOrder refuses instants that can't have happened as they are marked.
func inOrder(r bullpen.Rep) error {
	if wrong := r.OutOfOrder(); wrong != "" {
		return bullpen.Errorf(bullpen.Invalid, "%s", wrong)
	}
	return nil
}

func (s *Server) removeRep(ctx context.Context, in *remove) (wire.RepChange, error) {
	r, err := s.deps.Store.Rep(ctx, in.ID)
	if err != nil {
		return wire.RepChange{}, err
	}
	revision, err := s.deps.Store.RemoveRep(ctx, in.ID, in.Version)
	if err == nil {
		s.lookAgain(ctx, r)
	}
	return wire.RepChange{Rep: wire.RepOf(r, bullpen.RepNumbers{}), Revision: revision}, err
}

func (s *Server) restoreRep(ctx context.Context, in *byID) (wire.RepChange, error) {
	r, revision, err := s.deps.Store.RestoreRep(ctx, in.ID)
	if err != nil {
		return wire.RepChange{}, err
	}
	s.lookAgain(ctx, r)
	return s.changed(ctx, r, revision)
}

type listReps struct {
	Pitcher string          `query:"pitcher" maxLength:"64"`
	Pitch   bullpen.Pitch   `query:"pitch"`
	From    string          `query:"from" format:"date" doc:"first day"`
	To      string          `query:"to" format:"date" doc:"last day"`
	Verdict bullpen.Verdict `query:"verdict" doc:"empty: any"`
	Cursor  string          `query:"cursor" maxLength:"400" doc:"next of the page before"`
	Limit   int             `query:"limit" minimum:"1" maximum:"500" default:"100"`
}

// scanned is how many reps one request looks at for a verdict while verdicts are not
// stored yet. A page may then come back short, or empty, with a cursor to go on from.
const scanned = 5000

// listReps finds reps, by their stored verdict where one is asked for. What is shown of
// them is judged now, and what is judged otherwise by now is left out. Until an upgraded
// program has stored all verdicts, page after page is read until enough reps have it.
func (s *Server) listReps(ctx context.Context, in *listReps) (wire.RepPage, error) {
	out := wire.RepPage{Reps: []wire.RepRow{}}
	filter := store.RepFilter{PitcherID: in.Pitcher, Pitch: in.Pitch, From: in.From, To: in.To}
	page := store.Page{Cursor: in.Cursor, Limit: in.Limit}
	if in.Verdict != "" {
		stored, err := s.deps.Judged.Searchable(ctx)
		if err != nil {
			return wire.RepPage{}, err
		}
		if stored {
			filter.Verdict = in.Verdict
		} else {
			// Pages of the same size however many are still wanted: with matches far apart,
			// pages of what is missing would be many and small.
			page.Limit = store.MostRows
		}
	}
	pens := map[string]judged.Bullpen{}
	for seen := 0; ; {
		rows, next, err := s.deps.Store.FindReps(ctx, filter, page)
		if err != nil {
			return wire.RepPage{}, err
		}
		for i, row := range rows {
			if len(out.Reps) == in.Limit { // go on from the one before
				out.Next = rows[i-1].Cursor()
				return out, nil
			}
			pen, known := pens[row.BullpenID]
			if !known {
				if pen, err = s.deps.Judged.Numbers(ctx, row.BullpenID); err != nil {
					return wire.RepPage{}, err
				}
				pens[row.BullpenID] = pen
			}
			numbers, _ := pen.Sheet.Rep(row.ID)
			if in.Verdict != "" && numbers.Verdict != in.Verdict {
				continue
			}
			rep := wire.RepOf(row.Rep, numbers)
			if row.FilmID != "" {
				if pen.Body.Reps == nil { // no rep on film that is listed came before
					if pen, err = s.deps.Judged.WithBody(ctx, pen); err != nil {
						return wire.RepPage{}, err
					}
					pens[row.BullpenID] = pen
				}
				if body, ok := pen.Body.Rep(row.ID); ok {
					rep.Body = wire.RepBodyOf(body)
				}
			}
			out.Reps = append(out.Reps, wire.RepRow{
				Rep: rep, Day: row.Day,
				PitcherID: row.PitcherID, PitcherLabel: row.PitcherLabel, BullpenTitle: row.BullpenTitle,
			})
		}
		seen += len(rows)
		if out.Next = next; next == "" || len(out.Reps) >= in.Limit || seen >= scanned {
			return out, nil
		}
		page.Cursor = next
	}
}
