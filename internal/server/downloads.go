package server

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"tenoff/internal/blob"
	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/ledger"
	"tenoff/internal/shelf"
	"tenoff/internal/store"
)

func (s *Server) downloadRoutes() {
	s.stream(downloadable(op("getClipFile", http.MethodGet, "/api/clips/{id}/file.mp4", "The finished clip, by ranges")), "video/mp4", s.clipPart("video/mp4", ".mp4", s.deps.Shelf.File))
	s.stream(downloadable(op("getClipVtt", http.MethodGet, "/api/clips/{id}/captions.vtt", "Its captions as WebVTT")), "text/vtt", s.clipPart("text/vtt; charset=utf-8", ".vtt", s.deps.Shelf.VTT))
	s.stream(downloadable(op("getClipSrt", http.MethodGet, "/api/clips/{id}/captions.srt", "Its captions as SRT")), "application/x-subrip", s.clipPart("application/x-subrip", ".srt", s.deps.Shelf.SRT))
	s.stream(op("downloadClips", http.MethodGet, "/api/bullpens/{id}/clips.zip", "All finished clips with their captions and the reps as CSV"), "application/zip", s.downloadClips)
	s.stream(op("exportCsv", http.MethodGet, "/api/bullpens/{id}/reps.csv", "The reps as CSV (RFC 4180, UTF-8)"), "text/csv", s.export("text/csv; charset=utf-8; header=present", ledger.WriteCSV))
	s.stream(op("exportJson", http.MethodGet, "/api/bullpens/{id}/reps.json", "The reps as JSON, with the CSV's columns"), "application/json", s.export("application/json", ledger.WriteJSON))
	s.stream(op("exportPitcherCsv", http.MethodGet, "/api/pitchers/{id}/reps.csv", "All of a pitcher's reps as CSV (RFC 4180, UTF-8)"), "text/csv", exportPitcher(s, "text/csv; charset=utf-8; header=present", "reps.csv", ledger.NewCSV))
	s.stream(op("exportPitcherJson", http.MethodGet, "/api/pitchers/{id}/reps.json", "All of a pitcher's reps as JSON, with the CSV's columns"), "application/json", exportPitcher(s, "application/json", "reps.json", ledger.NewJSON))
}

// opener opens one of a finished clip's files.
type opener func(ctx context.Context, id string) (blob.File, store.Clip, error)

// clipPart answers with one of a finished clip's files, by ranges.
func (s *Server) clipPart(mime, ext string, open opener) func(*gin.Context) error {
	return func(c *gin.Context) error { return serveClip(c, c.Param("id"), mime, ext, open) }
}

func serveClip(c *gin.Context, id, mime, ext string, open opener) error {
	f, clip, err := open(c.Request.Context(), id)
	if err != nil {
		return err
	}
	defer f.Close()
	saveAs(c, strings.TrimSuffix(clip.FileName, ".mp4")+ext)
	return serveContent(c, f, mime, clip.ID+"."+clip.Shows+ext)
}

func (s *Server) downloadClips(c *gin.Context) error {
	pen, _, err := s.deps.Store.Bullpen(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	c.Header("Content-Type", "application/zip")
	attach(c, shelf.ZipName(pen))
	return s.deps.Shelf.Zip(c.Request.Context(), pen.ID, c.Writer)
}

// writer writes sessions in one of the ledger's forms.
type writer func(io.Writer, ...ledger.Session) error

func (s *Server) export(mime string, write writer) func(*gin.Context) error {
	return func(c *gin.Context) error {
		b, err := s.deps.Judged.Of(c.Request.Context(), c.Param("id"))
		if err != nil {
			return err
		}
		entries, err := s.deps.Shelf.Entries(c.Request.Context(), b)
		if err != nil {
			return err
		}
		postures, err := s.deps.Judged.Postures(c.Request.Context(), b)
		if err != nil {
			return err
		}
		return send(c, mime, write, shelf.Session(b, entries, postures))
	}
}

// written is one of the ledger's forms that is written a bullpen at a time.
type written interface {
	Write(ledger.Session) error
	Close() error
}

// exportPitcher writes a bullpen as soon as it is judged: a season of hundreds takes its
// time, and whoever asked sees at once that it comes. An error behind the first bullpen
// breaks the answer off, so that half a table does not look whole.
func exportPitcher[T written](s *Server, mime, name string, begin func(io.Writer) (T, error)) func(*gin.Context) error {
	return func(c *gin.Context) error {
		ctx := c.Request.Context()
		if _, err := s.deps.Store.Pitcher(ctx, c.Param("id")); err != nil {
			return err
		}
		cards, err := s.deps.Store.AllBullpens(ctx, c.Param("id"))
		if err != nil {
			return err
		}
		slices.Reverse(cards) // the table goes as time does
		saved := name
		if len(cards) == 1 {
			saved = cards[0].Day + "_" + name
		}
		var out T
		begun := false
		start := func() (err error) {
			begun = true
			c.Header("Content-Type", mime)
			attach(c, saved)
			out, err = begin(c.Writer)
			return err
		}
		for _, card := range cards {
			b, err := s.deps.Judged.Of(ctx, card.ID)
			if bullpen.CodeOf(err) == bullpen.NotFound {
				continue // removed meanwhile
			}
			var postures judged.Postures
			if err == nil {
				postures, err = s.deps.Judged.Postures(ctx, b)
			}
			if err == nil && !begun {
				err = start()
			}
			if err == nil {
				err = out.Write(shelf.Session(b, nil, postures))
			}
			if err != nil {
				return err
			}
			c.Writer.Flush()
		}
		if !begun { // there is none, or all were removed meanwhile, and she perhaps too
			if _, err := s.deps.Store.Pitcher(ctx, c.Param("id")); err != nil {
				return err
			}
			if err := start(); err != nil {
				return err
			}
		}
		return out.Close()
	}
}

// send writes the table whole before a byte goes out, so that an error is an
// error's answer and not half a table.
func send(c *gin.Context, mime string, write writer, session ledger.Session) error {
	var b bytes.Buffer
	if err := write(&b, session); err != nil {
		return err
	}
	attach(c, session.Pen.Day+"_reps"+c.Request.URL.Path[strings.LastIndexByte(c.Request.URL.Path, '.'):])
	c.Data(http.StatusOK, mime, b.Bytes())
	return nil
}
