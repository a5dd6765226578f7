package server

import (
	"context"
	"net/http"
	"net/url"

	"github.com/gin-gonic/gin"

	"tenoff/internal/deliverysheet"
	"tenoff/internal/judged"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/texts"
)

// deliveries is the delivery sheets of bullpens.
type deliveries struct {
	judged *judged.Bullpens
	sheets *deliverysheet.Sheets
}

func (d deliveries) routes(s *Server) {
	serve(s, op("getDeliverySheet", http.MethodGet, "/api/bullpens/{id}/delivery", "What the delivery sheet shows: a fastball's four instants above an off-speed rep's"), d.sheet)
	s.stream(downloadable(op("getDeliveryPicture", http.MethodGet, "/api/bullpens/{id}/delivery.jpg", "The delivery sheet as one picture; off and fast name its reps, unless said they are typical ones")), "image/jpeg", d.picture)
}

type deliveryAsked struct {
	ID   string `path:"id" maxLength:"64"`
	Off  string `query:"off" maxLength:"64" doc:"the off-speed rep; unless said, a typical one"`
	Fast string `query:"fast" maxLength:"64" doc:"the fastball above it; unless said, a typical one"`
	In   string `query:"in" enum:"en,es" doc:"the language of its words; English unless said"`
}

func (d deliveries) sheet(ctx context.Context, in *deliveryAsked) (wire.DeliverySheet, error) {
	b, err := d.judged.Of(ctx, in.ID)
	if err != nil {
		return wire.DeliverySheet{}, err
	}
	off, fast, err := d.pair(ctx, b, in.Off, in.Fast)
	if err != nil {
		return wire.DeliverySheet{}, err
	}
	l := texts.LanguageOf(in.In)
	s := deliverysheet.Of(l, off, fast)
	names := url.Values{"off": {off.Rep.ID}, "fast": {fast.Rep.ID}, "is": {s.Digest()}, "in": {string(l)}}
	return wire.DeliverySheet{
		Picture: "/api/bullpens/" + url.PathEscape(in.ID) + "/delivery.jpg?" + names.Encode(), FileName: shelf.DeliveryName(b.Pen, off.Rep, fast.Rep),
		Words: s.Words(), Sentence: s.Sentence, Fast: deliveryRow(s.Rows[0]), Off: deliveryRow(s.Rows[1]),
		FastChoices: deliveryChoices(b, b.FastDeliveries()), OffChoices: deliveryChoices(b, b.OffDeliveries()),
	}, nil
}

func (d deliveries) picture(c *gin.Context) error {
	ctx := c.Request.Context()
	b, err := d.judged.Of(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	off, fast, err := d.pair(ctx, b, c.Query("off"), c.Query("fast"))
	if err != nil {
		return err
	}
	s := deliverysheet.Of(texts.LanguageOf(c.Query("in")), off, fast)
	picture, err := d.sheets.Picture(ctx, s)
	if err != nil {
		return err
	}
	saveAs(c, shelf.DeliveryName(b.Pen, off.Rep, fast.Rep))
	return serveBytes(c, picture, "image/jpeg", s.Digest())
}

// pair is an off-speed delivery and the fastball above it, with her lines.
func (d deliveries) pair(ctx context.Context, b judged.Bullpen, offID, fastID string) (off, fast judged.Delivery, err error) {
	if off, fast, err = b.DeliveryPair(offID, fastID); err != nil {
		return off, fast, err
	}
	if off, err = d.judged.Lined(ctx, off); err == nil {
		fast, err = d.judged.Lined(ctx, fast)
	}
	return off, fast, err
}

func deliveryRow(r deliverysheet.Row) wire.DeliveryRow {
	d := r.Delivery
	out := wire.DeliveryRow{RepID: d.Rep.ID, Title: r.Title, FilmID: d.Film.ID}
	for i, e := range judged.Instants {
		out.Instants = append(out.Instants, wire.DeliveryInstant{Name: string(e), Frame: d.Frames[i], Millis: deliverysheet.Millis(d, i)})
	}
	return out
}

func deliveryChoices(b judged.Bullpen, all []judged.Delivery) []wire.PairChoice {
	out := []wire.PairChoice{}
	for _, d := range all {
		out = append(out, wire.PairChoice{RepID: d.Rep.ID, Label: label(b, d.Rep)})
	}
	return out
}
