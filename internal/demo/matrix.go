package demo

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
)

// turn writes the display matrix of the first track of an MP4 or QuickTime file,
// so that a player turns the picture clockwise by so many degrees. The matrix lies
// in the track header (ISO/IEC 14496-12, 8.3.2); not every ffmpeg has an option
// for it, so it is written in place.
func turn(path string, degrees int) error {
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	defer f.Close()
	end, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	at, size := int64(0), end
	for _, name := range []string{"moov", "trak", "tkhd"} {
		if at, size, err = box(f, at, at+size, name); err != nil {
			return err
		}
	}
	head := make([]byte, size)
	if _, err := f.ReadAt(head, at); err != nil {
		return err
	}
	matrix := 40 // after version, times, track, duration, layer, group, volume
	if head[0] == 1 {
		matrix = 52
	}
	if len(head) < matrix+44 {
		return errors.New("track header is too short")
	}
	// Width and height of the stored picture, 16.16 fixed point.
	w, h := int32(binary.BigEndian.Uint32(head[matrix+36:])), int32(binary.BigEndian.Uint32(head[matrix+40:]))
	const one = 1 << 16
	var m [9]int32 // a b u c d v x y w
	switch degrees {
	case 90:
		m = [9]int32{0, one, 0, -one, 0, 0, h, 0, 1 << 30}
	case 180:
		m = [9]int32{-one, 0, 0, 0, -one, 0, w, h, 1 << 30}
	case 270:
		m = [9]int32{0, -one, 0, one, 0, 0, 0, w, 1 << 30}
	default:
		return fmt.Errorf("no matrix for %d degrees", degrees)
	}
	out := make([]byte, 0, 36)
	for _, v := range m {
		out = binary.BigEndian.AppendUint32(out, uint32(v))
	}
	if _, err = f.WriteAt(out, at+int64(matrix)); err != nil {
		return err
	}
	return f.Close()
}

// box finds the first box of a name between two offsets, and returns where its
// content starts and how long it is.
func box(r io.ReaderAt, from, to int64, name string) (at, size int64, err error) {
	var head [16]byte
	for from+8 <= to {
		if _, err := r.ReadAt(head[:8], from); err != nil {
			return 0, 0, err
		}
		n, skip := int64(binary.BigEndian.Uint32(head[:])), int64(8)
		if n == 1 {
			if _, err := r.ReadAt(head[8:], from+8); err != nil {
				return 0, 0, err
			}
			n, skip = int64(binary.BigEndian.Uint64(head[8:])), 16
		}
		if n == 0 {
			n = to - from
		}
		if n < skip {
			break
		}
		if string(head[4:8]) == name {
			return from + skip, n - skip, nil
		}
		from += n
	}
	return 0, 0, fmt.Errorf("no %s box", name)
}
