package film

import (
	"encoding/binary"
	"errors"
	"io"
)

// wholeness is what the outermost boxes of an MP4 file say about how much of it
// is there.
type wholeness struct {
	index bool  // the box that says where the pictures are
	lacks int64 // bytes of the last box that are not there
}

// whole walks the outermost boxes of an MP4 file of size bytes (ISO/IEC 14496-12,
// 4.2). A box of a kind that it does not know is passed over until the index was found, as
// that standard says; behind the index it may be no box at all: some phones add something
// of their own at the end.
func whole(file io.ReaderAt, size int64) (wholeness, error) {
	var w wholeness
	var head [16]byte
	for at := int64(0); at+8 <= size; {
		n, err := file.ReadAt(head[:], at)
		if n < 8 {
			return w, err
		}
		if err != nil && !errors.Is(err, io.EOF) {
			return w, err
		}
		length, kind := int64(binary.BigEndian.Uint32(head[:4])), string(head[4:8])
		switch {
		case length == 0: // to the end of the file
			length = size - at
		case length == 1 && n == 16:
			length = int64(binary.BigEndian.Uint64(head[8:]))
		}
		switch kind {
		case "moov", "moof":
			w.index = true
		case "mdat", "ftyp", "styp", "free", "skip", "wide", "pnot", "uuid", "meta", "mfra", "sidx", "udta", "emsg", "prft":
		default:
			if w.index || length > size-at {
				return w, nil
			}
		}
		if length < 8 {
			return w, nil
		}
		if length > size-at {
			w.lacks = length - (size - at)
			return w, nil
		}
		at += length
	}
	return w, nil
}
