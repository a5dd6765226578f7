package server

import (
	"context"
	"net/http"
	"slices"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
	"tenoff/internal/homework"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
	"tenoff/internal/texts"
)

// shares are the private links to a bullpen's result, and the page that they lead to. It
// shows what the bullpen says now, and of its clips those that were chosen.
type shares struct {
	store   *store.Store
	judged  *judged.Bullpens
	shelf   *shelf.Shelf
	tickets *homework.Homework
	access  Access
}

func (x shares) routes(s *Server) {
	serve(s, op("listShares", http.MethodGet, "/api/bullpens/{id}/shares", "The links to this bullpen's result"), x.list)
	serve(s, op("makeShare", http.MethodPost, "/api/bullpens/{id}/shares", "Make a private link to this bullpen's result; it is told once, and closes the others"), x.make)
	serve(s, answering(http.StatusOK, op("renewShare", http.MethodPost, "/api/shares/{id}/renew", "Let a link open for so long from now, or as long as it does")), x.renew)
	serve(s, answering(http.StatusOK, op("revokeShare", http.MethodPost, "/api/shares/{id}/revoke", "Close a link for good")), x.revoke)
	serve(s, withShare(op("getShare", http.MethodGet, "/api/share", "The result that this link opens")), x.page)
	s.stream(op("getShareFile", http.MethodGet, "/api/share/files/{ticket}", "A clip or its captions; the ticket is in the address that the page was given"), "video/mp4", x.file)
}

// sharePage is the path of the page that a link leads to.
const sharePage = "/r"

// shareHeader carries a link's token.
const shareHeader = "Share"

// withShare documents the header that carries a link's token.
func withShare(o huma.Operation) huma.Operation { return withToken(shareHeader, o) }

type shareKey struct{}

// admitShare lets whoever holds an open link's token see what it leads to.
func (s *Server) admitShare(r *http.Request) (*http.Request, error) {
	share, academy, err := s.deps.Store.OpenShare(r.Context(), r.Header.Get(shareHeader))
	if err := s.opens(r, err); err != nil {
		return r, err
	}
	return r.WithContext(context.WithValue(store.Within(r.Context(), academy), shareKey{}, share)), nil
}

func (x shares) list(ctx context.Context, in *byID) (wire.ShareList, error) {
	pen, _, err := x.store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.ShareList{}, err
	}
	list, err := x.store.Shares(ctx, in.ID)
	if err != nil {
		return wire.ShareList{}, err
	}
	out := wire.ShareList{Shares: make([]wire.ShareLink, len(list))}
	for i, p := range list {
		out.Shares[i] = wire.ShareOf(p, x.store.Now())
	}
	if out.Consent, err = x.store.Consented(ctx, pen.PitcherID, bullpen.ForResults); err != nil {
		return wire.ShareList{}, err
	}
	out.Message, err = x.message(ctx, pen, "…")
	return out, err
}

// message is the line that goes with a link: no more than whose it is and that it is
// private, since whoever carries the message reads it.
func (x shares) message(ctx context.Context, pen bullpen.Bullpen, link string) (string, error) {
	her, err := x.store.Pitcher(ctx, pen.PitcherID)
	return texts.LanguageOf(her.Language).Say("share.message", texts.V{"pitcher": her.Label, "link": link}), err
}

func (x shares) make(ctx context.Context, in *to[wire.NewShare]) (wire.MadeShare, error) {
	pen, _, err := x.store.Bullpen(ctx, in.ID)
	if err != nil {
		return wire.MadeShare{}, err
	}
	share, token, err := x.store.AddShare(ctx, bullpen.ShareLink{BullpenID: pen.ID, ClipIDs: in.Body.ClipIDs}, days(in.Body.Days))
	if err != nil {
		return wire.MadeShare{}, err
	}
	link := x.access.link(ctx, sharePage, token)
	text, err := x.message(ctx, pen, link)
	if err != nil {
		return wire.MadeShare{}, err
	}
	made, err := x.access.made(ctx, link, text)
	return wire.MadeShare{Share: wire.ShareOf(share, x.store.Now()), MadeLink: made}, err
}

func (x shares) renew(ctx context.Context, in *to[wire.RenewLink]) (wire.ShareLink, error) {
	share, err := x.store.RenewShare(ctx, in.ID, days(in.Body.Days))
	return wire.ShareOf(share, x.store.Now()), err
}

func (x shares) revoke(ctx context.Context, in *byID) (wire.ShareLink, error) {
	share, err := x.store.RevokeShare(ctx, in.ID)
	return wire.ShareOf(share, x.store.Now()), err
}

func (x shares) page(ctx context.Context, _ *struct{}) (wire.SharePage, error) {
	share, _ := ctx.Value(shareKey{}).(bullpen.ShareLink)
	b, err := x.judged.Of(ctx, share.BullpenID)
	if err != nil {
		return wire.SharePage{}, err
	}
	out := wire.SharePage{
		Pitcher: b.Pitcher.Label, Language: string(texts.LanguageOf(b.Pitcher.Language)), Day: b.Pen.Day, Expires: share.Expires,
		Unit: b.Pitcher.Unit, Baseline: b.Pitcher.BaselinePitch, Pitch: sharedPitch(b),
	}
	tracks := x.judged.Tracks(ctx)
	tells, err := b.Tells(tracks)
	if err != nil {
		return wire.SharePage{}, err
	}
	moves, err := b.MovesTold(tracks, texts.Languages...)
	if err != nil {
		return wire.SharePage{}, err
	}
	for i, l := range texts.Languages {
		out.Told = append(out.Told, toldOf(b, tells, l, moves[i]))
	}
	if out.Clips, err = x.clips(ctx, share, b); err != nil {
		return wire.SharePage{}, err
	}
	if time.Since(time.UnixMicro(share.LastUsed)) < time.Minute {
		return out, nil
	}
	return out, x.store.UseShare(ctx, share.ID)
}

// sharedPitch is the pitch that a bullpen's headline is about, with its target.
func sharedPitch(b judged.Bullpen) *wire.SharedPitch {
	sum := b.Told(texts.English).Of
	if sum == nil {
		return nil
	}
	out := &wire.SharedPitch{Summary: wire.SummaryOf(*sum), Reps: []wire.SharedRep{}}
	if out.Summary.Baseline != nil {
		out.Summary.Baseline.RepID = "" // no ID of ours is told
	}
	for _, c := range bodyOf(b).Checks {
		if len(b.Films) > 0 && c.Pitch == sum.Pitch && bullpen.DrillKey(c.Drill) == bullpen.DrillKey(sum.Drill) {
			out.Body = &wire.SharedBody{Verdict: c.Verdict, On: c.On, Own: c.Own}
		}
	}
	for i, r := range b.Reps {
		gun := sum.Gun
		if r.Reading != nil {
			gun = b.Pen.Fill(*r.Reading).Gun
		}
		if r.Pitch == sum.Pitch && bullpen.DrillKey(r.Drill) == bullpen.DrillKey(sum.Drill) && gun == sum.Gun {
			out.Reps = append(out.Reps, wire.SharedRepOf(repOf(b, i)))
		}
	}
	return out
}

// clips are those of the chosen ones that can be played.
func (x shares) clips(ctx context.Context, share bullpen.ShareLink, b judged.Bullpen) ([]wire.SharedClip, error) {
	out := []wire.SharedClip{}
	entries, err := x.shelf.Entries(ctx, b)
	if err != nil {
		return nil, err
	}
	for _, id := range share.ClipIDs {
		at := slices.IndexFunc(entries, func(e shelf.Entry) bool { return e.ID == id && e.Made })
		if at < 0 {
			continue
		}
		e := entries[at]
		clip := wire.SharedClip{
			Kind: e.Kind, Older: e.Stale, File: x.ticket(share, "clip", id), Captions: x.ticket(share, "captions", id),
			Language: string(texts.LanguageOf(b.Pitcher.Language)), FileName: e.FileName, Bytes: e.Bytes, Seconds: e.Seconds, Reps: []wire.SharedClipRep{},
		}
		for _, repID := range []string{e.RepID, e.OtherID} {
			if repID == "" {
				continue
			}
			r, err := x.store.Rep(ctx, repID) // a pair's other one may be of another bullpen of hers
			if err != nil {
				return nil, err
			}
			clip.Reps = append(clip.Reps, wire.SharedClipRep{Order: r.Order, Pitch: r.Pitch})
		}
		out = append(out, clip)
	}
	return out, nil
}

func (x shares) ticket(share bullpen.ShareLink, kind, of string) string {
	return "/api/share/files/" + x.tickets.Sign(homework.Ticket{Link: share.ID, Kind: kind, Of: of})
}

// file answers with what a ticket opens, if its link is open and the clip is still one of
// those that may be seen there.
func (x shares) file(c *gin.Context) error {
	t, ok := x.tickets.Read(c.Param("ticket"))
	if !ok {
		return errNoTicket
	}
	share, academy, err := x.store.OpenShareByID(c.Request.Context(), t.Link)
	switch {
	case bullpen.CodeOf(err) == bullpen.NotFound || err == nil && !slices.Contains(share.ClipIDs, t.Of):
		return errNoTicket
	case err != nil:
		return err
	}
	c.Request = c.Request.WithContext(store.Within(c.Request.Context(), academy))
	switch t.Kind {
	case "clip":
		return serveClip(c, t.Of, "video/mp4", ".mp4", x.shelf.File)
	case "captions":
		return serveClip(c, t.Of, "text/vtt; charset=utf-8", ".vtt", x.shelf.VTT)
	}
	return errNoTicket
}
