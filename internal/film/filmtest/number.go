package filmtest

import (
	"context"
	"errors"
	"fmt"
	"image"
	"io"
	"strings"

	"tenoff/internal/proc"
)

// A frame's number is drawn in the top left corner of the stored picture: sixteen
// squares, the lowest bit first, white for 1, and under each its opposite.
const bits = 16

// cell returns how high and wide one square is, in pixels of a picture of that
// width.
func cell(width int) int { return max(8, width/40) }

// drawNumber returns the filters that draw it.
func drawNumber(width int) string {
	cell := cell(width)
	codeWidth, codeHeight := bits*cell, 2*cell
	chain := []string{fmt.Sprintf("drawbox=x=0:y=0:w=%d:h=%d:color=black:t=fill", codeWidth, codeHeight)}
	for bit := range bits {
		for row, on := range []string{"mod(floor(n/%d)\\,2)", "1-mod(floor(n/%d)\\,2)"} {
			chain = append(chain, fmt.Sprintf("drawbox=x=%d:y=%d:w=%d:h=%d:color=white:t=fill:enable='%s'",
				bit*cell, row*cell, cell, cell, fmt.Sprintf(on, 1<<bit)))
		}
	}
	return strings.Join(chain, ",")
}

// Reading says where to look for the numbers in a film.
type Reading struct {
	Path   string
	Width  int // of the stored picture that the number was drawn on; default 320 x 180
	Height int
	Undo   string // the filters that turn the film's picture back to how it was stored
	Select string // an expression of ffmpeg's select filter: which frames to read; default all
}

func (r Reading) usual() Reading {
	if r.Width == 0 {
		r.Width, r.Height = 320, 180
	}
	return r
}

// filters returns the filters that leave of the picture one pixel for each square.
func (r Reading) filters() string {
	var chain []string
	if r.Select != "" {
		chain = append(chain, "select='"+r.Select+"'")
	}
	if r.Undo != "" {
		chain = append(chain, r.Undo)
	}
	r = r.usual()
	return strings.Join(append(chain,
		fmt.Sprintf("crop=w=iw*%d/%d:h=ih*%d/%d:x=0:y=0:exact=1", bits*cell(r.Width), r.Width, 2*cell(r.Width), r.Height),
		fmt.Sprintf("scale=%d:2:flags=area,format=gray", bits)), ",")
}

// Numbers reads the number of every frame of some films off their pixels, at once;
// -1 where there is none. It fails only if a film can't be decoded.
func Numbers(ctx context.Context, films ...Reading) ([][]int, error) {
	numbers := make([][]int, len(films))
	args := []string{"-hide_banner", "-nostdin", "-loglevel", "error", "-copyts"}
	for _, f := range films {
		args = append(args, "-i", f.Path)
	}
	var pipes []proc.Pipe
	for i, f := range films {
		args = append(args, "-map", fmt.Sprintf("%d:v:0", i), "-vf", f.filters(),
			"-fps_mode", "passthrough", "-f", "rawvideo", fmt.Sprintf("pipe:%d", 3+i))
		pipes = append(pipes, proc.Pipe{Read: func(r io.Reader) error {
			frame := make([]byte, 2*bits)
			for {
				if _, err := io.ReadFull(r, frame); errors.Is(err, io.EOF) {
					return nil
				} else if err != nil {
					return err
				}
				numbers[i] = append(numbers[i], decode(frame))
			}
		}})
	}
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: args, Pipes: pipes})
	return numbers, said(err)
}

// NumberIn reads the number off a picture of a whole frame.
func NumberIn(picture image.Image, at Reading) int {
	at = at.usual()
	b := picture.Bounds()
	x := float64(b.Dx()*cell(at.Width)) / float64(at.Width)
	y := float64(b.Dy()*cell(at.Width)) / float64(at.Height)
	gray := make([]byte, 2*bits)
	for row := range 2 {
		for bit := range bits {
			r, g, bl, _ := picture.At(b.Min.X+int((float64(bit)+0.5)*x), b.Min.Y+int((float64(row)+0.5)*y)).RGBA()
			gray[row*bits+bit] = byte((r + g + bl) / 3 >> 8)
		}
	}
	return decode(gray)
}

// decode returns the number of two rows of gray levels, or -1 when they are not
// each other's opposite.
func decode(gray []byte) int {
	n := 0
	for bit := range bits {
		on, off := int(gray[bit]), int(gray[bits+bit])
		switch {
		case on-off > 60:
			n |= 1 << bit
		case off-on > 60:
		default:
			return -1
		}
	}
	return n
}

// said adds to err what the program said.
func said(err error) error {
	if exit, ok := errors.AsType[*proc.ExitError](err); ok {
		return fmt.Errorf("%w:\n%s", err, exit.Stderr)
	}
	return err
}
