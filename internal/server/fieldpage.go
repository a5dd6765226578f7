package server

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"tenoff/internal/bullpen"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// fieldPage is the phone's side of the field: what it needs to know, and what it sends.
type fieldPage struct{ store *store.Store }

func (f fieldPage) routes(s *Server) {
	serve(s, withFieldLink(op("getFieldPage", http.MethodGet, "/api/field", "What the phone at the fence needs to know")), f.get)
	serve(s, withFieldLink(op("keepFieldEntries", http.MethodPut, "/api/field/entries", "Keep what was typed at the fence; the same entries may be sent again, late and in any order")), f.keep)
}

// fieldHeader carries a field link's token.
const fieldHeader = "Field"

// withFieldLink documents it.
func withFieldLink(o huma.Operation) huma.Operation {
	o.Parameters = append(o.Parameters, &huma.Param{
		Name: fieldHeader, In: "header", Description: "the token behind the # of a field link; none for whoever is signed in",
		Schema: &huma.Schema{Type: huma.TypeString},
	})
	return o
}

type fieldLinkKey struct{}

// fieldLinkOf is the link that a request came with; none for whoever is signed in.
func fieldLinkOf(ctx context.Context) (bullpen.FieldLink, bool) {
	l, ok := ctx.Value(fieldLinkKey{}).(bullpen.FieldLink)
	return l, ok
}

// admitField lets a request to the field page through: by a link, or of an instructor.
func (s *Server) admitField(r *http.Request) (*http.Request, error) {
	token := r.Header.Get(fieldHeader)
	if token == "" {
		return s.admitInstructor(r, false)
	}
	link, academy, err := s.deps.Store.OpenFieldLink(r.Context(), token)
	if err := s.opens(r, err); err != nil {
		return r, err
	}
	return r.WithContext(context.WithValue(store.Within(r.Context(), academy), fieldLinkKey{}, link)), nil
}

func (f fieldPage) get(ctx context.Context, _ *struct{}) (wire.FieldPage, error) {
	out := wire.FieldPage{Pitchers: []wire.FieldPitcher{}, PitchTypes: allPitchTypes()}
	link, linked := fieldLinkOf(ctx)
	out.Expires = link.Expires
	if linked && link.BullpenID != "" {
		pen, _, err := f.store.Bullpen(ctx, link.BullpenID)
		if err != nil {
			return out, err
		}
		her, err := f.store.Pitcher(ctx, pen.PitcherID)
		if err != nil {
			return out, err
		}
		out.Pitchers = append(out.Pitchers, wire.FieldPitcher{ID: her.ID, Label: her.Label, Unit: pen.Unit})
		return out, nil
	}
	all, err := f.store.Pitchers(ctx)
	for _, p := range all {
		out.Pitchers = append(out.Pitchers, wire.FieldPitcher{ID: p.ID, Label: p.Label, Unit: p.Unit})
	}
	return out, err
}

func (f fieldPage) keep(ctx context.Context, in *sent[wire.FieldEntries]) (wire.FieldTaken, error) {
	link, linked := fieldLinkOf(ctx)
	named := ""
	if linked && link.BullpenID != "" {
		pen, _, err := f.store.Bullpen(ctx, link.BullpenID)
		if err != nil {
			return wire.FieldTaken{}, err
		}
		named = pen.PitcherID
	}
	out := wire.FieldTaken{Taken: []string{}, Refused: []wire.FieldRefused{}}
	var entries []bullpen.FieldEntry
	for _, e := range in.Body.Entries {
		switch {
		case named != "" && e.PitcherID != named:
			out.Refused = append(out.Refused, wire.FieldRefused{ID: e.ID, Why: "This link is for another pitcher; scan the link for all pitchers."})
		case e.Value > 0 && e.Unit == "":
			out.Refused = append(out.Refused, wire.FieldRefused{ID: e.ID, Why: "A reading needs its unit."})
		default:
			entries = append(entries, e.Entry(link.BullpenID))
		}
	}
	refused, err := f.store.KeepEntries(ctx, entries)
	if err != nil {
		return out, err
	}
	for _, e := range entries {
		if why, is := refused[e.ID]; is {
			out.Refused = append(out.Refused, wire.FieldRefused{ID: e.ID, Why: why})
		} else {
			out.Taken = append(out.Taken, e.ID)
		}
	}
	return out, nil
}
