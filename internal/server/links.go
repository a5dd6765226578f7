package server

import (
	"cmp"
	"context"
	"net/http"
	"net/url"
	"time"

	"github.com/danielgtaylor/huma/v2"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
)

// What all private links have in common: those to homework (slips.go), to the field page
// (fieldlinks.go) and to a bullpen's result (shares.go).

// usualDays is how long a link opens unless said otherwise.
const usualDays = 14

func days(n int) time.Duration { return time.Duration(cmp.Or(n, usualDays)) * 24 * time.Hour }

// link is the address of a page for whoever holds its token. The token stands behind a #:
// it reaches no server, no log and no other site.
func (a Access) link(ctx context.Context, page, token string) string {
	base, _ := a.public(ctx)
	return base + page + "#" + token
}

// public returns the address that a link begins with, and whether a phone can reach it.
func (a Access) public(ctx context.Context) (base string, reachable bool) {
	if a.Public != "" {
		return a.Public, true
	}
	from := originOf(ctx)
	u, err := url.Parse(from)
	return from, err == nil && !loopback(u.Host)
}

// made is what whoever makes a link is told of it, with a text to send along.
func (a Access) made(ctx context.Context, link, text string) (out wire.MadeLink, err error) {
	_, reachable := a.public(ctx)
	out = wire.MadeLink{Link: link, Reachable: reachable, ShareText: text}
	if !reachable {
		out.Hint = "This link opens on this computer only. “Reached from elsewhere” in the README says how to open it to phones."
	}
	out.QrSvg, out.QrPng, err = homework.QR(link)
	return out, err
}

// withToken documents the header that carries a link's token.
func withToken(header string, o huma.Operation) huma.Operation {
	o.Parameters = append(o.Parameters, &huma.Param{
		Name: header, In: "header", Required: true, Description: "the token behind the # of the link",
		Schema: &huma.Schema{Type: huma.TypeString},
	})
	return o
}

// errNoTicket is what everybody hears whose ticket opens nothing, whatever the reason.
var errNoTicket = bullpen.Errorf(bullpen.NotFound, "This address opens nothing any more; load the page of your link again.")

// opens refuses whoever tries many tokens that open nothing; err is what looking the
// token up came to.
func (s *Server) opens(r *http.Request, err error) error {
	if bullpen.CodeOf(err) != bullpen.NotFound {
		return err
	}
	if left, failed := s.guesses.take(r.Context(), neighbourhood(s.remote(r))); failed != nil {
		return failed
	} else if !left {
		// Only what opens nothing is refused: a family behind one address is not kept
		// out by an old link, and a token of 128 bits is not found by trying.
		return refusal(http.StatusTooManyRequests, languageFor(r.Context(), "").Given("Too many links that open nothing were tried; wait a minute."))
	}
	return err
}
