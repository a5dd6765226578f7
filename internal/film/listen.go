package film

import (
	"encoding/binary"
	"errors"
	"io"

	"tenoff/internal/trace"
)

// listener listens to the sound.
type listener struct{ ear *trace.Ear }

func newListener(slow float64) *listener { return &listener{trace.NewEar(earSound, slow)} }

// read takes 16-bit little-endian mono samples.
func (l *listener) read(r io.Reader) error {
	raw, pcm := make([]byte, 16<<10), make([]int16, 8<<10)
	for {
		n, err := io.ReadFull(r, raw)
		for i := range n / 2 {
			pcm[i] = int16(binary.LittleEndian.Uint16(raw[2*i:]))
		}
		l.ear.Add(pcm[:n/2])
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil
		}
		if err != nil {
			return err
		}
	}
}
