package film

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"sync"

	"tenoff/internal/bullpen"
)

// ticker collects the time of every decoded frame while the pass runs.
type ticker struct {
	most  int // frames
	mu    sync.Mutex
	more  sync.Cond
	ticks []int64
	done  bool
}

func newTicker(most int) *ticker {
	t := &ticker{most: most}
	t.more.L = &t.mu
	return t
}

// read takes lines of ffmpeg's framecrc format: stream, dts, pts, duration, size
// and checksum, of which pts counts.
func (t *ticker) read(r io.Reader) error {
	defer t.finish()
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		line := lines.Text()
		if strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.SplitN(line, ",", 4)
		if len(fields) < 4 {
			return fmt.Errorf("film: times of frames: %q", line)
		}
		tick, err := strconv.ParseInt(strings.TrimSpace(fields[2]), 10, 64)
		if err != nil {
			return fmt.Errorf("film: times of frames: %w", err)
		}
		if err := t.add(tick); err != nil {
			return err
		}
	}
	return lines.Err()
}

func (t *ticker) add(tick int64) error {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.ticks) >= t.most {
		return errTooMany
	}
	t.ticks = append(t.ticks, tick)
	t.more.Broadcast()
	return nil
}

func (t *ticker) finish() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.done = true
	t.more.Broadcast()
}

// wait returns how long after frame 0 frame i is shown, in ticks, as soon as it
// is known; false when the pass ended before frame i.
func (t *ticker) wait(i int) (int64, bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	for len(t.ticks) <= i && !t.done {
		t.more.Wait()
	}
	if i >= len(t.ticks) {
		return 0, false
	}
	return t.ticks[i] - t.ticks[0], true
}

// begins returns frame 0's own tick, once it is known.
func (t *ticker) begins() (tick int64, known bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.ticks) == 0 {
		return 0, false
	}
	return t.ticks[0], true
}

// clock returns the frame clock and frame 0's own tick.
func (t *ticker) clock(like bullpen.Clock) (bullpen.Clock, int64) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if len(t.ticks) == 0 {
		return bullpen.Clock{Num: like.Num, Den: like.Den, Slow: like.Slow}, 0
	}
	return bullpen.Clock{Num: like.Num, Den: like.Den, Slow: like.Slow, Ticks: fromZero(t.ticks)}, t.ticks[0]
}
