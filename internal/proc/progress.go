package proc

import (
	"bufio"
	"io"
	"strconv"
	"strings"
	"time"
)

// ProgressFlags returns the global flags with which ffmpeg reports its progress
// to Cmd.Progress.
func ProgressFlags() []string {
	return []string{"-nostats", "-stats_period", "0.25", "-progress", "pipe:1"}
}

// Progress is one report of ffmpeg's.
type Progress struct {
	Frames int64         // encoded so far
	Time   time.Duration // of the output, how far it has come
	End    bool          // the last report
}

// readProgress parses ffmpeg's reports: lines of key=value, each report ended by
// its progress line.
func readProgress(r io.Reader, tell func(Progress)) error {
	var p Progress
	lines := bufio.NewScanner(r)
	for lines.Scan() {
		key, value, _ := strings.Cut(strings.TrimSpace(lines.Text()), "=")
		value = strings.TrimSpace(value)
		switch key {
		case "frame":
			if n, err := strconv.ParseInt(value, 10, 64); err == nil {
				p.Frames = n
			}
		case "out_time_us": // out_time_ms is in microseconds too
			if n, err := strconv.ParseInt(value, 10, 64); err == nil {
				p.Time = time.Duration(n) * time.Microsecond
			}
		case "progress":
			p.End = value == "end"
			tell(p)
		}
	}
	return lines.Err()
}
