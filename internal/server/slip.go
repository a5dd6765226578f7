package server

import (
	"context"
	"fmt"
	"mime"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/gin-gonic/gin"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/homework"
	"tenoff/internal/server/wire"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

// The student's side. Everything here acts within the one homework that the slip in
// the request's header opens; no path names a homework, a pitcher or a bullpen.
func (s *Server) slipSideRoutes() {
	serve(s, withSlip(op("getSlip", http.MethodGet, "/api/slip", "The homework that this slip opens")), s.getSlip)
	serve(s, withSlip(upTo(wordsBody, op("saveSlipWords", http.MethodPut, "/api/slip/words", "What the student writes: a note, readings"))), s.saveSlipWords)
	s.stream(withSlip(s.tusOp("beginUpload", http.MethodPost, "/api/slip/uploads", "Begin an upload (tus 1.0 creation)", "201")), "", s.tus)
	s.stream(withSlip(s.tusOp("askUpload", http.MethodHead, "/api/slip/uploads/{upload}", "How much of an upload is here (tus 1.0)", "200")), "", s.tus)
	s.stream(withSlip(s.tusOp("goOnUpload", http.MethodPatch, "/api/slip/uploads/{upload}", "Go on with an upload (tus 1.0); when all is here it is a film", "204")), "", s.tus)
	s.stream(withSlip(s.tusOp("dropUpload", http.MethodDelete, "/api/slip/uploads/{upload}", "Give an upload up (tus 1.0 termination)", "204")), "", s.tus)
	s.stream(op("getSlipFile", http.MethodGet, "/api/slip/files/{ticket}", "A film, captions or a frame of what came back; the ticket is in the address that the slip's page was given"), "video/mp4", s.getSlipFile)
}

// withSlip documents the header that carries a slip's token.
func withSlip(o huma.Operation) huma.Operation { return withToken(slipHeader, o) }

func (s *Server) tusOp(id, method, path, summary, status string) huma.Operation {
	o := op(id, method, path, summary)
	o.Responses = map[string]*huma.Response{status: {Description: "As tus 1.0 says; see https://tus.io/protocols/resumable-upload"}}
	return o
}

func (s *Server) tus(c *gin.Context) error {
	p := passOf(c.Request.Context())
	p.Language = languageFor(c.Request.Context(), "")
	s.deps.Homework.ServeHTTP(c.Writer, c.Request, p)
	return nil
}

func (s *Server) getSlip(ctx context.Context, _ *struct{}) (wire.SlipPage, error) {
	p := passOf(ctx)
	h := p.Homework
	her, err := s.deps.Store.Pitcher(ctx, h.PitcherID)
	if err != nil {
		return wire.SlipPage{}, err
	}
	l := languageFor(ctx, her.Language)
	types, err := s.pitchTypes(ctx, nil)
	if err != nil {
		return wire.SlipPage{}, err
	}
	out := wire.SlipPage{
		Pitcher: her.Label, Due: h.Due, Expires: p.Slip.Expires, Workout: handedSaid(l, wire.HandedWorkoutOf(h.Workout)), Drills: []wire.SlipDrill{},
		Language: string(l), PitchTypes: types.PitchTypes, Unit: her.Unit,
		Films: []wire.SlipFilm{}, Note: h.Student.Note, Gun: string(h.Student.Gun), Readings: placeReadingsOf(h.Student),
	}
	for _, d := range h.Drills {
		drill := wire.SlipDrill{Name: l.Given(d.Name), HowTo: l.Given(d.HowTo)}
		if is, err := s.exampleOf(ctx, d); err != nil {
			return wire.SlipPage{}, err
		} else if is {
			drill.Example = s.ticket(p, "example", d.ClipID)
		}
		out.Drills = append(out.Drills, drill)
	}
	films, err := s.deps.Store.Films(ctx, h.BullpenID)
	if err != nil {
		return wire.SlipPage{}, err
	}
	plain := make([]bullpen.Film, len(films))
	for i, f := range films {
		plain[i] = f.Film
		out.Films = append(out.Films, wire.SlipFilm{ID: f.ID, Name: f.Name, Bytes: f.Bytes, State: f.State, Refusal: l.Given(f.Refusal), Sha256: f.SHA256})
	}
	if out.Arriving, err = s.arriving(ctx, h.ID); err != nil {
		return wire.SlipPage{}, err
	}
	used, err := s.deps.Homework.Used(ctx, h.ID, plain)
	if err != nil {
		return wire.SlipPage{}, err
	}
	out.Limits = wire.SlipLimits{MaxBytes: p.Slip.MaxBytes, MaxFiles: p.Slip.MaxFiles, UsedBytes: used.Bytes, UsedFiles: used.Files}
	if h.Sent.SentAt != 0 {
		if out.Answer, err = s.slipAnswer(ctx, p, her, l); err != nil {
			return wire.SlipPage{}, err
		}
	}
	if time.Since(time.UnixMicro(p.Slip.LastUsed)) < time.Minute {
		return out, nil // her page asks again and again while films come in
	}
	return out, s.deps.Store.UseSlip(ctx, p.Slip.ID)
}

// exampleOf reports whether a drill's example may be shown: it is still one.
func (s *Server) exampleOf(ctx context.Context, d bullpen.Drill) (bool, error) {
	if d.ClipID == "" {
		return false, nil
	}
	return s.deps.Store.HasExample(ctx, d.ClipID)
}

func (s *Server) ticket(p homework.Pass, kind, of string) string {
	return "/api/slip/files/" + s.deps.Homework.Sign(homework.Ticket{Link: p.Slip.ID, Kind: kind, Of: of})
}

func (s *Server) saveSlipWords(ctx context.Context, in *sent[wire.SlipWords]) (wire.SlipPage, error) {
	h := passOf(ctx).Homework
	words := bullpen.Student{Note: strings.TrimSpace(in.Body.Note), Gun: in.Body.Gun, Readings: map[int]bullpen.TypedReading{}}
	places := h.Workout.Reps()
	for _, r := range in.Body.Readings {
		if r.Place >= places {
			return wire.SlipPage{}, bullpen.Errorf(bullpen.Invalid, "This workout has %d reps; there is no place %d.", places, r.Place+1)
		}
		words.Readings[r.Place] = bullpen.TypedReading{Value: r.Value, Unit: r.Unit}
	}
	if err := s.deps.Store.SaveStudent(ctx, h.ID, words); err != nil {
		return wire.SlipPage{}, err
	}
	p := passOf(ctx)
	p.Homework.Student = words
	return s.getSlip(context.WithValue(ctx, passKey{}, p), nil)
}

// getSlipFile answers with what a ticket opens, if its slip is open and the thing
// still belongs to the answer.
func (s *Server) getSlipFile(c *gin.Context) error {
	nothing := errNoTicket
	t, ok := s.deps.Homework.Read(c.Param("ticket"))
	if !ok {
		return nothing
	}
	slip, academy, err := s.deps.Store.OpenSlipByID(c.Request.Context(), t.Link)
	if bullpen.CodeOf(err) == bullpen.NotFound {
		return nothing
	}
	if err != nil {
		return err
	}
	r, err := s.within(c.Request, slip, academy)
	if err != nil {
		return err
	}
	c.Request = r
	ctx := r.Context()
	h := passOf(ctx).Homework
	switch t.Kind {
	case "clip":
		if slices.Contains(h.Sent.ClipIDs, t.Of) {
			return serveClip(c, t.Of, "video/mp4", ".mp4", ofAnswer(h, s.deps.Shelf.SentFile))
		}
	case "captions":
		if slices.Contains(h.Sent.ClipIDs, t.Of) {
			return serveClip(c, t.Of, "text/vtt; charset=utf-8", ".vtt", ofAnswer(h, s.deps.Shelf.SentVTT))
		}
	case "frame":
		for _, d := range h.Sent.Drawings {
			if frameName(d) == t.Of {
				return s.slipFrame(c, d)
			}
		}
	case "example":
		for _, d := range h.Drills {
			if is, err := s.exampleOf(ctx, d); err != nil {
				return err
			} else if is && d.ClipID == t.Of {
				return serveClip(c, t.Of, "video/mp4", ".mp4", s.deps.Shelf.File)
			}
		}
	}
	return nothing
}

// ofAnswer opens one of the files of a clip that went with a homework's answer.
func ofAnswer(h bullpen.Homework, open func(context.Context, bullpen.Homework, string) (blob.File, store.Clip, error)) opener {
	return func(ctx context.Context, id string) (blob.File, store.Clip, error) { return open(ctx, h, id) }
}

// frameName is what a ticket for a frame is of.
func frameName(d bullpen.DrawingOf) string { return fmt.Sprintf("%s-%d", d.RepID, d.Frame) }

// slipFrame answers with the frame that was drawn on.
func (s *Server) slipFrame(c *gin.Context, d bullpen.DrawingOf) error {
	ctx := c.Request.Context()
	rep, f, err := s.onFilm(ctx, d.RepID)
	if err != nil {
		return err
	}
	pen, _, err := s.deps.Store.Bullpen(ctx, rep.BullpenID)
	if err != nil {
		return err
	}
	if d.Frame >= f.Clock.Frames() {
		return bullpen.Errorf(bullpen.NotFound, "There is no such frame.")
	}
	path, done, err := s.deps.Blobs.Local(ctx, f.Made.Working)
	if err != nil {
		return err
	}
	defer done()
	jpeg, err := film.Still(ctx, path, f.Clock, d.Frame)
	if err != nil {
		return err
	}
	c.Header("Content-Disposition", mime.FormatMediaType("inline", map[string]string{"filename": shelf.StillName(pen, rep)}))
	return serveBytes(c, jpeg, "image/jpeg", f.Made.Working+"."+strconv.Itoa(d.Frame))
}
