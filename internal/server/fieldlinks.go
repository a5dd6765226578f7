package server

import (
	"context"
	"net/http"
	"strings"
	"time"

	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

// fieldLinks are the private links to the field page.
type fieldLinks struct {
	store  *store.Store
	access Access
}

func (f fieldLinks) routes(s *Server) {
	serve(s, op("listFieldLinks", http.MethodGet, "/api/field-links", "The links to the field page that are open"), f.list)
	serve(s, op("makeFieldLink", http.MethodPost, "/api/field-links", "Make a private link to the field page; it is told once"), f.make)
	serve(s, answering(http.StatusOK, op("revokeFieldLink", http.MethodPost, "/api/field-links/{id}/revoke", "Close a link to the field page for good")), f.revoke)
}

// fieldLasts is how long a link to the field page opens: the lesson, and some days for a
// phone to come back to where it reaches the laptop.
const fieldLasts = 7 * 24 * time.Hour

// fieldAddress is the path of the field page.
const fieldAddress = "/field"

// fieldWorker is the path of the worker that keeps the field page on the phone: beside the
// page, since a browser lets it serve what lies below it only.
const fieldWorker = "/field-worker.js"

func (f fieldLinks) list(ctx context.Context, _ *struct{}) (wire.FieldLinks, error) {
	links, err := f.store.FieldLinks(ctx)
	out := wire.FieldLinks{Links: make([]wire.FieldLink, len(links))}
	for i, l := range links {
		out.Links[i] = wire.FieldLinkOf(l)
	}
	return out, err
}

func (f fieldLinks) make(ctx context.Context, in *sent[wire.NewFieldLink]) (wire.MadeFieldLink, error) {
	link, token, err := f.store.AddFieldLink(ctx, in.Body.BullpenID, fieldLasts)
	if err != nil {
		return wire.MadeFieldLink{}, err
	}
	made, err := f.access.made(ctx, f.access.link(ctx, fieldAddress, token), "")
	if made.Reachable && !strings.HasPrefix(made.Link, "https://") {
		made.Hint = "Open it on the phone while it reaches this computer, and leave that page open: without encryption a phone can’t open it again at the fence."
	}
	return wire.MadeFieldLink{FieldLink: wire.FieldLinkOf(link), Link: made.Link, Hint: made.Hint, QrSvg: made.QrSvg}, err
}

func (f fieldLinks) revoke(ctx context.Context, in *byID) (wire.FieldLinks, error) {
	if err := f.store.RevokeFieldLink(ctx, in.ID); err != nil {
		return wire.FieldLinks{}, err
	}
	return f.list(ctx, nil)
}
