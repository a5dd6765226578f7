package film

import (
	"bufio"
	"context"
	"errors"
	"io"
	"slices"
	"strconv"
	"strings"

	"tenoff/internal/proc"
)

// table is the times of a stream's packets.
type table struct {
	ticks  []int64 // of every shown frame, rising, in the stream's time base
	stated bool    // all come from the packets' presentation times
}

// errTooMany says that a stream has more packets than MaxFrames.
var errTooMany = errors.New("film: too many frames")

// packets reads the times of all packets of one stream. Frames that the file
// hides (an edit list cuts into them) are not among them.
func packets(ctx context.Context, path, container string, index int) (table, error) {
	var t table
	_, err := proc.Run(ctx, proc.Cmd{
		Name: "ffprobe",
		Args: append([]string{"-hide_banner", "-loglevel", "error", "-select_streams", strconv.Itoa(index),
			"-show_entries", "packet=pts,dts,flags", "-of", "csv=p=0"}, SafeInput(path, container)...),
		Stdout: func(r io.Reader) (err error) {
			t, err = readPackets(r)
			return err
		},
		Limit: probeLimit,
	})
	if err != nil {
		return table{}, err
	}
	return t, nil
}

// readPackets parses one line for each packet: pts, dts and flags, N/A for a time
// that is not stated.
func readPackets(r io.Reader) (table, error) {
	t := table{stated: true}
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		pts, rest, _ := strings.Cut(lines.Text(), ",")
		dts, flags, ok := strings.Cut(rest, ",")
		if !ok || strings.Contains(flags, "D") { // D: decoded, not shown
			continue
		}
		tick, err := strconv.ParseInt(pts, 10, 64)
		if err != nil {
			t.stated = false
			if tick, err = strconv.ParseInt(dts, 10, 64); err != nil {
				continue
			}
		}
		if len(t.ticks) == MaxFrames {
			return table{}, errTooMany
		}
		t.ticks = append(t.ticks, tick)
	}
	if err := lines.Err(); err != nil {
		return table{}, err
	}
	slices.Sort(t.ticks)
	t.ticks = slices.Compact(t.ticks)
	return t, nil
}
