package server

import (
	"context"
	"net/http"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/intake"
	"tenoff/internal/server/wire"
	"tenoff/internal/store"
)

func (s *Server) filmRoutes() {
	s.stream(s.uploadOp(), "", s.uploadFilm)
	serve(s, op("getFilm", http.MethodGet, "/api/films/{id}", "One film"), s.getFilm)
	serve(s, op("editFilm", http.MethodPatch, "/api/films/{id}", "Change a film's slow factor, view, pitcher's box or place"), s.editFilm)
	serve(s, op("removeFilm", http.MethodDelete, "/api/films/{id}", "Delete a film and the clips cut from it, or dismiss a refused one; its reps keep their readings"), s.removeFilm)
	serve(s, op("getClock", http.MethodGet, "/api/films/{id}/clock", "When every frame is on show"), s.getClock)
	serve(s, op("getTraces", http.MethodGet, "/api/films/{id}/traces", "Motion and sound, thinned out for drawing"), s.getTraces)
	s.stream(op("getWorking", http.MethodGet, "/api/films/{id}/working.mp4", "The working copy, by ranges"), "video/mp4", s.getWorking)
	s.stream(op("getOpened", http.MethodGet, "/api/films/{id}/opened.mp4", "The original's pictures and sound as they are coded, to be stepped until the working copy is there, by ranges"), "video/mp4", s.getOpened)
	serve(s, op("getFinished", http.MethodGet, "/api/films/{id}/finished", "How much of a film that is being read can be shown"), s.getFinished)
	s.stream(op("getStretch", http.MethodGet, "/api/films/{id}/finished/{copy}", "The working copy of a film that is being read, as it was when so many frames were finished: 30.mp4, by ranges"), "video/mp4", s.getStretch)
	s.stream(op("getStripPicture", http.MethodGet, "/api/films/{id}/strip/{picture}", "One picture along the timeline: 0.jpg, 1.jpg ..."), "image/jpeg", s.getStripPicture)
}

func (s *Server) getFilm(ctx context.Context, in *byID) (wire.Film, error) {
	f, err := s.deps.Store.Film(ctx, in.ID)
	if err != nil {
		return wire.Film{}, err
	}
	jobs, err := s.deps.Store.Jobs(ctx, f.BullpenID)
	if err != nil {
		return wire.Film{}, err
	}
	return s.filmOf(ctx, f, jobs), nil
}

func (s *Server) editFilm(ctx context.Context, in *to[wire.FilmEdit]) (wire.Film, error) {
	f, err := s.deps.Store.Film(ctx, in.ID)
	if err != nil {
		return wire.Film{}, err
	}
	before := f.Film
	in.Body.Onto(&f.Film)
	if !f.Box.None() {
		if err := f.Box.Check(); err != nil {
			return wire.Film{}, err
		}
	}
	var anew []string // the others to be looked at again
	turned := f.View != before.View
	f, err = s.deps.Store.SaveFilms(ctx, f.Film, func(other *bullpen.Film) bool {
		was := *other
		if other.State == bullpen.FilmRefused || !in.Body.Others(other, before) {
			return false
		}
		if lookDiffers(was, *other) {
			anew = append(anew, other.ID)
		}
		turned = turned || other.View != was.View
		return true
	})
	if err != nil {
		return wire.Film{}, err
	}
	if in.Body.Position != nil {
		if err := s.deps.Store.Arrange(ctx, f.BullpenID); err != nil {
			return wire.Film{}, err
		}
	}
	if lookDiffers(before, f.Film) {
		s.look(ctx, f.ID)
	}
	for _, id := range anew {
		s.look(ctx, id)
	}
	if turned { // marks count for other films now
		s.lookBeside(ctx, f.BullpenID)
	}
	return s.filmOf(ctx, f, nil), nil
}

// lookDiffers reports whether reps are to be looked for anew in a film that was changed.
func lookDiffers(before, now bullpen.Film) bool {
	return now.State == bullpen.FilmReady &&
		(now.Box != before.Box || now.Clock.Slow != before.Clock.Slow || now.SlowKnown != before.SlowKnown)
}

func (s *Server) removeFilm(ctx context.Context, in *remove) (wire.Removed, error) {
	f, err := s.deps.Store.Film(ctx, in.ID)
	if err != nil {
		return wire.Removed{}, err
	}
	out, err := removed(s.deps.Intake.RemoveFilm(ctx, in.ID, in.Version))
	if err == nil {
		s.lookBeside(ctx, f.BullpenID)
	}
	return out, err
}

// lookBeside has those of a bullpen's films searched again that were found by marks which
// count for them no more, or that others count for now.
func (s *Server) lookBeside(ctx context.Context, bullpenID string) {
	if err := s.deps.Proposer.SearchBeside(ctx, bullpenID, ""); err != nil {
		s.log.WarnContext(ctx, "films beside a changed one are not looked at again", "bullpen", bullpenID, "err", err)
	}
}

func (s *Server) getClock(ctx context.Context, in *byID) (wire.Clock, error) {
	f, err := s.steppableFilm(ctx, in.ID)
	if err != nil {
		return wire.Clock{}, err
	}
	c := wire.Clock{
		Num: f.Clock.Num, Den: f.Clock.Den, Slow: f.Clock.Slow,
		Ticks: f.Clock.Ticks, Working: film.WorkingTicks(f.Clock),
	}
	if f.State != bullpen.FilmReady && !f.Made.Opened {
		if c.Finished = s.deps.Intake.Finished(f); c.Finished == 0 { // gone astray this moment
			return wire.Clock{}, bullpen.Errorf(bullpen.Unavailable, "“%s” can be shown only once it was read; wait until it is ready.", f.Name)
		}
	} else if f.State != bullpen.FilmReady {
		opened, file, err := s.deps.Intake.Opened(ctx, f)
		if err != nil {
			return wire.Clock{}, err
		}
		defer file.Close()
		c.Original, c.Working = true, opened.Times
	}
	return c, nil
}

// steppableFilm returns a film whose frames can be shown.
func (s *Server) steppableFilm(ctx context.Context, id string) (store.Film, error) {
	f, err := s.deps.Store.Film(ctx, id)
	if err == nil && s.deps.Intake.Steppable(f) {
		return f, nil
	}
	return s.readyFilm(ctx, id)
}

// readyFilm returns a film that has been read.
func (s *Server) readyFilm(ctx context.Context, id string) (store.Film, error) {
	f, err := s.deps.Store.Film(ctx, id)
	if err == nil && f.State != bullpen.FilmReady {
		err = bullpen.Errorf(bullpen.Unavailable, "“%s” is still being read; wait until it is ready.", f.Name)
		if f.State == bullpen.FilmRefused {
			err = bullpen.Errorf(bullpen.Refused, "%s", f.Refusal)
		}
	}
	return f, err
}

func (s *Server) getWorking(c *gin.Context) error {
	f, err := s.readyFilm(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	byPieces(c.Request)
	return s.serveFile(c, f.Made.Working, "video/mp4")
}

// getOpened serves a film as it can be stepped before it was read. It goes on doing so
// afterwards, for the pages that still show it.
func (s *Server) getOpened(c *gin.Context) error {
	f, err := s.steppableFilm(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	opened, file, err := s.deps.Intake.Opened(c.Request.Context(), f)
	if err != nil {
		return err
	}
	defer file.Close()
	byPieces(c.Request)
	return serveContent(c, opened.Reader(), "video/mp4", f.Made.Original+".opened")
}

func (s *Server) getFinished(ctx context.Context, in *byID) (wire.Finished, error) {
	f, err := s.deps.Store.Film(ctx, in.ID)
	if err != nil {
		return wire.Finished{}, err
	}
	if f.Steppable() {
		return wire.Finished{Frames: f.Clock.Frames()}, nil
	}
	return wire.Finished{Frames: s.deps.Intake.Finished(f)}, nil
}

// getStretch serves the part of a working copy that was finished at some time. It goes on
// doing so for a moment after the film was read, for the pages that still show it.
func (s *Server) getStretch(c *gin.Context) error {
	number, ok := strings.CutSuffix(c.Param("copy"), ".mp4")
	frames, err := strconv.Atoi(number)
	if !ok || err != nil || frames <= 0 {
		return bullpen.Errorf(bullpen.NotFound, "There is no such part of the film; it is called by how many frames it has, as 30.mp4.")
	}
	f, err := s.deps.Store.Film(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	stretch, err := s.deps.Intake.Stretch(f, frames)
	if err != nil {
		return err
	}
	byPieces(c.Request)
	return serveContent(c, stretch.Reader(), "video/mp4", stretch.Key())
}

func (s *Server) getStripPicture(c *gin.Context) error {
	number, ok := strings.CutSuffix(c.Param("picture"), ".jpg")
	n, err := strconv.Atoi(number)
	if !ok || err != nil || n < 0 {
		return bullpen.Errorf(bullpen.NotFound, "There is no such picture; they are called 0.jpg, 1.jpg and so on.")
	}
	f, err := s.readyFilm(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	var jpeg []byte
	err = s.withStrip(c.Request.Context(), f, func(strip *film.Strip) (err error) {
		if n >= strip.Len() {
			return bullpen.Errorf(bullpen.NotFound, "This film has %d pictures along its timeline.", strip.Len())
		}
		jpeg, err = strip.Picture(n)
		return err
	})
	if err != nil {
		return err
	}
	return serveBytes(c, jpeg, "image/jpeg", f.Made.Strip+"."+number)
}

// withStrip opens a film's pictures for do.
func (s *Server) withStrip(ctx context.Context, f store.Film, do func(*film.Strip) error) error {
	file, err := s.deps.Blobs.Open(ctx, f.Made.Strip)
	if err != nil {
		return err
	}
	defer file.Close()
	strip, err := film.OpenStrip(file, file.Size())
	if err != nil {
		return err
	}
	return do(strip)
}

// waits says why a film that was looked at and is being read can't be stepped yet, ""
// for one that can be. Where this program is not alone another one may be reading it, and
// only the one that does can show what it has read so far.
func waits(f store.Film, alone bool) string {
	switch {
	case f.State != bullpen.FilmReading || f.Steppable() || f.Width == 0:
		return ""
	case f.Clock.Frames() > 0 && alone:
		return "It opens as soon as its first seconds were read."
	case f.Clock.Frames() > 0:
		return "It opens when it has been read; on the machine that reads it, sooner."
	}
	return "It is packed in a way that can’t be stepped, so it opens when it has been read."
}

// filmOf returns f as the API says it, with its pictures and how far its job has
// come.
func (s *Server) filmOf(ctx context.Context, f store.Film, jobs []store.Job) wire.Film {
	out := wire.FilmOf(f.Film)
	out.Steppable = s.deps.Intake.Steppable(f)
	if !out.Steppable {
		out.Waits = waits(f, s.deps.Store.Ours())
	}
	if f.Made.Strip != "" {
		err := s.withStrip(ctx, f, func(strip *film.Strip) error {
			out.Strip = &wire.Strip{Count: strip.Len(), Every: strip.Every}
			return nil
		})
		if err != nil {
			s.log.WarnContext(ctx, "a film's pictures can't be read", "film", f.ID, "err", err)
		}
	}
	for _, j := range jobs {
		if j.Subject == f.ID && f.State == bullpen.FilmReading && intake.IsKind(j.Kind) {
			out.Progress, out.JobID, out.Problem = &j.Progress, j.ID, j.Problem
		}
	}
	return out
}

func (s *Server) filmsOf(ctx context.Context, films []store.Film, jobs []store.Job) []wire.Film {
	out := make([]wire.Film, len(films))
	for i, f := range films {
		out[i] = s.filmOf(ctx, f, jobs)
	}
	return out
}
