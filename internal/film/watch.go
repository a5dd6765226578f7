package film

import (
	"errors"
	"io"

	"tenoff/internal/bullpen"
	"tenoff/internal/trace"
)

// ahead is how many gray frames may wait for their time and their turn: so many
// that ffmpeg seldom waits for the meter.
const ahead = 64

// watcher measures motion on the gray frames.
type watcher struct {
	width, height int
	clock         bullpen.Clock // its unit of time
	ticks         *ticker
	meter         *trace.Meter
	frames        int

	seen func(*trace.Motion) // told now and then what was measured so far; nil: nobody
	next float64             // file seconds at which it is told the next time
}

// What was measured is told after so many real seconds of the film, and again each time
// that the film is twice as far: it is looked through from its beginning every time.
const firstSeen = 20.0

func newWatcher(f Facts, ticks *ticker) *watcher {
	w := &watcher{clock: f.Clock, ticks: ticks}
	w.width, w.height = graySize(f.Width, f.Height)
	w.meter = trace.NewMeter(w.width, w.height, f.Clock.Slow)
	w.next = firstSeen * f.Clock.SlowFactor()
	return w
}

// read takes the gray frames, one after the other.
func (w *watcher) read(r io.Reader) error {
	free, full := make(chan []byte, ahead), make(chan []byte, ahead)
	for range ahead {
		free <- make([]byte, w.width*w.height)
	}
	measured := make(chan struct{})
	go func() {
		defer close(measured)
		for frame := range full {
			w.measure(frame)
			free <- frame
		}
	}()
	defer func() {
		close(full)
		<-measured
	}()
	for {
		frame := <-free
		_, err := io.ReadFull(r, frame)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		full <- frame
	}
}

func (w *watcher) measure(frame []byte) {
	tick, ok := w.ticks.wait(w.frames)
	if !ok {
		return
	}
	w.frames++
	at := float64(tick*w.clock.Num) / float64(w.clock.Den)
	w.meter.Add(frame, at)
	if w.seen != nil && at >= w.next {
		w.next = 2 * at
		w.seen(w.meter.SoFar())
	}
}
