package film

import (
	"encoding/binary"
	"errors"
	"io"
	"math/bits"
)

// missing returns how many bytes of a Matroska or AVI file of size bytes are not
// there, by the length that its outermost element states; 0 if all are, or if it
// states none, as one that was written while it was sent.
func missing(file io.ReaderAt, container string, size int64) (int64, error) {
	var states func(io.ReaderAt) (int64, error)
	switch container {
	case matroska:
		states = segmentEnd
	case avi:
		states = riffEnd
	default:
		return 0, nil
	}
	end, err := states(file)
	if errors.Is(err, io.EOF) {
		return 0, nil
	}
	return max(0, end-size), err
}

// riffEnd returns where the first chunk of a RIFF file ends, 0 where it is not said
// (Multimedia Programming Interface and Data Specifications 1.0, 1991: "RIFF", the
// length of what follows, little-endian).
func riffEnd(file io.ReaderAt) (int64, error) {
	var head [8]byte
	if _, err := file.ReadAt(head[:], 0); err != nil {
		return 0, err
	}
	length := binary.LittleEndian.Uint32(head[4:])
	if length == 0 || length == 1<<32-1 {
		return 0, nil
	}
	return 8 + int64(length), nil
}

// segmentID is Matroska's Segment (RFC 9559, 5.1), which holds all but the header.
const segmentID = 0x18538067

// segmentEnd returns where the Segment of a Matroska file ends, 0 where that is
// unknown (RFC 8794, 6.2).
func segmentEnd(file io.ReaderAt) (int64, error) {
	at := int64(0)
	for range 8 { // the header comes first, and little else before the Segment
		id, n, err := vint(file, at, true)
		if err != nil {
			return 0, err
		}
		at += n
		length, n, err := vint(file, at, false)
		if err != nil || length < 0 {
			return 0, err
		}
		at += n + length
		if id == segmentID {
			return at, nil
		}
	}
	return 0, nil
}

// vint reads a number of variable length (RFC 8794, 4) and returns how many bytes
// it takes; an ID keeps its marker. -1 is the length that is not known.
func vint(file io.ReaderAt, at int64, id bool) (v, n int64, err error) {
	var raw [8]byte
	got, err := file.ReadAt(raw[:], at)
	if got == 0 {
		return 0, 0, errors.Join(err, io.EOF)
	}
	n = int64(bits.LeadingZeros8(raw[0])) + 1
	if n > 8 || int(n) > got {
		return 0, 0, io.EOF
	}
	v = int64(binary.BigEndian.Uint64(raw[:]) >> (64 - 8*n))
	if id {
		return v, n, nil
	}
	all := int64(1)<<(7*n) - 1
	if v &= all; v == all {
		v = -1
	}
	return v, n, nil
}
