package film

import (
	"fmt"

	"tenoff/internal/bullpen"
	"tenoff/internal/disk"
)

// need returns about how many bytes reading the film takes on disk. Film with
// noise, as phones make it in a hall, took a tenth of a bit a pixel and more.
func need(f Facts) int64 {
	width, height := workingSize(f.Width, f.Height)
	pixels := int64(width) * int64(height) * int64(f.Clock.Frames())
	n := pixels/80 + 8<<20
	if f.Container == mpegts {
		n += f.Bytes
	}
	return n
}

// room refuses to begin on a disk that is too full to end.
func room(f Facts, dir string) error {
	free, err := disk.Free(dir)
	if err != nil {
		return err
	}
	if n := need(f); free < n {
		return bullpen.Errorf(bullpen.Unavailable,
			"There is not enough room on the disk to read “%s”: it takes about %s and %s are free. Make room and try again.",
			f.Name, megabytes(n), megabytes(free))
	}
	return nil
}

func megabytes(n int64) string { return fmt.Sprintf("%.0f MB", float64(n)/1e6) }
