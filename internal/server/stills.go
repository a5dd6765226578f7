package server

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/jpeg"
	"net/http"

	"github.com/gin-gonic/gin"
	"golang.org/x/image/draw"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
)

// stillAcross is how wide a still in a list is, in pixels: three by two.
const stillAcross, stillDown = 480, 320

// stills are pictures of reps at their release, small enough for lists.
type stills struct {
	deps Deps
	// turn lets one be made at a time: a list asks for two dozen at once, and each is an
	// ffmpeg.
	turn chan struct{}
}

func (l stills) routes(s *Server) {
	s.stream(op("getStill", http.MethodGet, "/api/reps/{id}/still.jpg", "A rep at its release, cropped to the pitcher, 480 x 320"), "image/jpeg", l.getStill)
}

func (l stills) getStill(c *gin.Context) error {
	ctx := c.Request.Context()
	rep, err := l.deps.Store.Rep(ctx, c.Param("id"))
	if err != nil {
		return err
	}
	if rep.FilmID == "" || rep.Release < 0 {
		return bullpen.Errorf(bullpen.NotFound, "This rep is on no film.")
	}
	f, err := l.deps.Store.Film(ctx, rep.FilmID)
	if err != nil {
		return err
	}
	if f.State != bullpen.FilmReady || rep.Release >= f.Clock.Frames() {
		return bullpen.Errorf(bullpen.NotFound, "This film can't be shown yet.")
	}
	box := f.Pitcher()
	tag := fmt.Sprintf("%s.%d.%.3f-%.3f-%.3f-%.3f", f.Made.Working, rep.Release, box.X, box.Y, box.Width, box.Height)
	if c.GetHeader("If-None-Match") == entityTag(tag) {
		c.Header("Etag", entityTag(tag))
		c.Status(http.StatusNotModified)
		return nil
	}
	select {
	case l.turn <- struct{}{}:
		defer func() { <-l.turn }()
	case <-ctx.Done():
		return ctx.Err()
	}
	small, err := l.still(ctx, f.Made.Working, f.Clock, rep.Release, box)
	if err != nil {
		return err
	}
	return serveBytes(c, small, "image/jpeg", tag)
}

// still draws the part of a frame that shows the pitcher.
func (l stills) still(ctx context.Context, working string, clock bullpen.Clock, frame int, box bullpen.Box) ([]byte, error) {
	path, done, err := l.deps.Blobs.Local(ctx, working)
	if err != nil {
		return nil, err
	}
	defer done()
	whole, err := film.Still(ctx, path, clock, frame)
	if err != nil {
		return nil, err
	}
	picture, err := jpeg.Decode(bytes.NewReader(whole))
	if err != nil {
		return nil, err
	}
	small := image.NewRGBA(image.Rect(0, 0, stillAcross, stillDown))
	draw.ApproxBiLinear.Scale(small, small.Bounds(), picture, cropOf(picture.Bounds(), box), draw.Src, nil)
	var out bytes.Buffer
	err = jpeg.Encode(&out, small, &jpeg.Options{Quality: 80})
	return out.Bytes(), err
}

// cropOf is the part of a picture, three by two, that shows all of the box with a little
// room around it, or its middle where there is no box.
func cropOf(picture image.Rectangle, box bullpen.Box) image.Rectangle {
	const room = 1.15
	w, h := float64(picture.Dx()), float64(picture.Dy())
	ratio := float64(stillAcross) / stillDown
	most := min(h, w/ratio) // the highest that fits into the picture
	high, x, y := most, w/2, h/2
	if !box.None() {
		high = min(most, room*max(box.Height*h, box.Width*w/ratio))
		x, y = (box.X+box.Width/2)*w, (box.Y+box.Height/2)*h
	}
	wide := high * ratio
	x = min(max(x-wide/2, 0), w-wide)
	y = min(max(y-high/2, 0), h-high)
	return image.Rect(int(x), int(y), int(x+wide), int(y+high)).Add(picture.Min)
}
