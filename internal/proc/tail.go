package proc

import "io"

// tailSize is how much of a program's standard error is kept.
const tailSize = 64 << 10

// readTail reads r to its end and returns the last tailSize bytes.
func readTail(r io.Reader) string {
	var kept []byte
	piece := make([]byte, 4<<10)
	for {
		n, err := r.Read(piece)
		kept = append(kept, piece[:n]...)
		if len(kept) > 2*tailSize {
			kept = append(kept[:0], kept[len(kept)-tailSize:]...)
		}
		if err != nil {
			return string(kept[max(0, len(kept)-tailSize):])
		}
	}
}
