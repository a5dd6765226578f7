package demo

import (
	"context"
	"math"
	"runtime"

	"golang.org/x/sync/errgroup"

	"tenoff/internal/demo/paint"
)

// stage sets up the drawing at a size. grain is the camera noise's share of the
// film's own: averaging pixels averages noise.
func (t *Take) stage(w, h int, grain float64, gray bool) *paint.Stage {
	cam := t.view.camera(w, h)
	s := &paint.Stage{
		Camera: cam, Players: t.players, Ball: t.ball, Gray: gray, W: w, H: h,
		Backdrop: paint.NewBackdrop(cam, w, h, t.shaking.margin(w, h), gray, paint.Park{
			Seed: t.o.Seed + streamPark, Plate: t.plate, Plain: t.o.PlainStage, Net: t.o.Sound.Net, Flip: t.o.Left,
		}),
	}
	if t.o.Sound.Net {
		s.Props = paint.Bucket(t.o.Left)
	}
	if grain > 0 {
		s.Grain = paint.NewGrain(t.o.Noise*grain, t.o.Seed)
	}
	return s
}

// frame says how frame i is taken for a picture w pixels wide.
func (t *Take) frame(i, w int) paint.Frame {
	n := t.shown(i)
	at := t.o.Pace.Seconds(n)
	f := paint.Frame{
		Index: n, Time: at, Shutter: t.o.Shutter, Shake: t.shaking.at(at, w), Number: -1,
		Sway: t.o.Sway * float64(w) / 640 * math.Sin(2*math.Pi*.31*at) * (1 + .5*math.Sin(2*math.Pi*.083*at)),
	}
	if t.o.Flicker > 0 { // mains light at 60 Hz pulses 120 times a second
		f.Gain = 1 + t.o.Flicker*math.Sin(2*math.Pi*120*at)
	}
	if t.o.FrameNumber {
		f.Number = i
	}
	return f
}

// ahead is how many frames each goroutine may be in front of the consumer.
const ahead = 3

// each draws the frames for which only says yes, on all processors, and hands them
// over in order. The canvas is valid during the call only.
func (t *Take) each(ctx context.Context, s *paint.Stage, only func(i int) bool, do func(i int, c *paint.Canvas) error) error {
	workers := runtime.GOMAXPROCS(0)
	type job struct {
		frame int
		easel *paint.Easel
		done  chan struct{}
	}
	g, ctx := errgroup.WithContext(ctx)
	free := make(chan *paint.Easel, workers*ahead)
	for range cap(free) {
		free <- s.NewEasel()
	}
	order := make(chan job, cap(free))
	work := make(chan func(), cap(free))
	n := t.Frames()
	g.Go(func() error {
		defer close(order)
		defer close(work)
		for i := range n {
			if !only(i) {
				continue
			}
			var e *paint.Easel
			select {
			case e = <-free:
			case <-ctx.Done():
				return ctx.Err()
			}
			j := job{i, e, make(chan struct{})}
			work <- func() {
				s.Draw(e, t.frame(i, s.W))
				close(j.done)
			}
			order <- j
		}
		return nil
	})
	for range workers {
		g.Go(func() error {
			for f := range work {
				f()
			}
			return nil
		})
	}
	g.Go(func() error {
		for j := range order {
			<-j.done
			if err := do(j.frame, j.easel.Canvas); err != nil {
				return err
			}
			free <- j.easel
		}
		return ctx.Err()
	})
	return g.Wait()
}

// Gray draws every frame small and gray, as area scaling of the film would make
// it, and calls do for each in order with the frame's index and its file time in
// seconds from the first frame. width and height must have the film's aspect
// (160x90, 90x160); pixels are row by row, valid only during the call. Nothing is
// encoded: the marks that compression leaves are the one thing missing.
func (t *Take) Gray(ctx context.Context, width, height int, do func(frame int, seconds float64, pixels []byte) error) error {
	return t.gray(ctx, width, height, whole, do)
}

// GrayRound does as Gray, but draws only the frames that lie at most before real
// seconds before a rep's release or after seconds after it: what happens between the
// deliveries is most of a film.
func (t *Take) GrayRound(ctx context.Context, width, height int, before, after float64, do func(frame int, seconds float64, pixels []byte) error) error {
	near := func(i int) bool {
		at := t.truth.Clock.RealSeconds(0, i)
		for _, r := range t.truth.Reps {
			if at >= r.Release.Seconds-before && at <= r.Release.Seconds+after {
				return true
			}
		}
		return false
	}
	return t.gray(ctx, width, height, near, do)
}

// whole leaves no frame out.
func whole(int) bool { return true }

func (t *Take) gray(ctx context.Context, width, height int, only func(i int) bool, do func(frame int, seconds float64, pixels []byte) error) error {
	// Drawn twice as big, then averaged; the noise is what is left of the film's
	// after averaging down, put on at twice the size.
	const over = 2
	s := t.stage(width*over, height*over, float64(width*over)/float64(t.o.Width), true)
	small := make([]byte, width*height)
	return t.each(ctx, s, only, func(i int, c *paint.Canvas) error {
		for y := range height {
			a, b := c.Y[2*y*c.W:(2*y+1)*c.W], c.Y[(2*y+1)*c.W:(2*y+2)*c.W]
			row := small[y*width : (y+1)*width]
			for x := range row {
				row[x] = byte((int(a[2*x]) + int(a[2*x+1]) + int(b[2*x]) + int(b[2*x+1]) + 2) / 4)
			}
		}
		return do(i, t.truth.Clock.FileSeconds(i), small)
	})
}
