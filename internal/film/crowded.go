package film

import (
	"context"
	"fmt"
	"io"
	"strings"

	"tenoff/internal/proc"
)

// maxStreams is how many streams of picture, sound and the rest a film may have;
// mostCounted is up to how many are counted in one that has more.
const (
	maxStreams  = 32
	mostCounted = 1000
)

// streamsIn counts the streams of a film; 0 if that can't be found out.
func streamsIn(ctx context.Context, path, container string) int {
	var out strings.Builder
	args := SafeInput(path, container)
	for i := range args {
		if args[i] == "-max_streams" {
			args[i+1] = fmt.Sprint(mostCounted)
		}
	}
	_, err := proc.Run(ctx, proc.Cmd{
		Name: "ffprobe", Limit: probeLimit,
		Args: append([]string{"-hide_banner", "-loglevel", "error", "-show_entries", "format=nb_streams", "-of", "csv=p=0"}, args...),
		Stdout: func(r io.Reader) error {
			_, err := io.Copy(&out, io.LimitReader(r, 100))
			return err
		},
	})
	var n int
	if _, scan := fmt.Sscan(out.String(), &n); err != nil || scan != nil {
		return 0
	}
	return n
}
