package film

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// maxIndex is the largest index of a working copy that is read, bytes: MaxFrames
// frames and as many pieces of sound need a quarter of it.
const maxIndex = 64 << 20

// frameTimes returns the time of every frame of a working copy, in ticks of
// 1/WorkingRate s, from the boxes of the file itself (ISO/IEC 14496-12). It knows
// the one shape that Read's working copies have: no reordered frames, one edit at
// most, from the beginning.
func frameTimes(file io.ReadSeeker) ([]int64, error) {
	index, err := findIndex(file)
	if err != nil {
		return nil, err
	}
	for _, track := range index.all("trak") {
		if string(track.one("mdia").one("hdlr").bytes(8, 4)) != "vide" {
			continue
		}
		if scale := track.one("mdia").one("mdhd").number(12); scale != WorkingRate {
			return nil, fmt.Errorf("film: the working copy counts in 1/%d s", scale)
		}
		if track.one("edts").one("elst").number(12) != 0 {
			return nil, errors.New("film: the working copy does not begin at 0")
		}
		samples := track.one("mdia").one("minf").one("stbl")
		if len(samples.one("ctts")) > 0 {
			return nil, errors.New("film: the working copy has reordered frames")
		}
		return times(samples.one("stts"))
	}
	return nil, errors.New("film: the working copy has no picture")
}

// times returns the times in a table of runs of frames (stts).
func times(stts box) ([]int64, error) {
	var ticks []int64
	at := int64(0)
	for run := range stts.number(4) {
		n, step := stts.number(8+8*int(run)), int64(stts.number(12+8*int(run)))
		if n == 0 || len(ticks)+int(n) > 2*MaxFrames {
			return nil, errors.New("film: the working copy's table of times is damaged")
		}
		for range n {
			ticks = append(ticks, at)
			at += step
		}
	}
	return ticks, nil
}

// findIndex returns the content of the outermost box moov.
func findIndex(file io.ReadSeeker) (box, error) {
	head := make([]byte, 16)
	for {
		if _, err := io.ReadFull(file, head[:8]); err != nil {
			return nil, fmt.Errorf("film: the working copy's index: %w", err)
		}
		size := int64(binary.BigEndian.Uint32(head)) - 8
		kind := string(head[4:8])
		if size == 1-8 {
			if _, err := io.ReadFull(file, head[8:]); err != nil {
				return nil, err
			}
			size = int64(binary.BigEndian.Uint64(head[8:])) - 16
		}
		if kind == "moov" && size >= 0 && size < maxIndex {
			index := make(box, size)
			_, err := io.ReadFull(file, index)
			return index, err
		}
		if size < 0 {
			return nil, errors.New("film: the working copy's boxes are damaged")
		}
		if _, err := file.Seek(size, io.SeekCurrent); err != nil {
			return nil, err
		}
	}
}

// box is the content of a box.
type box []byte

// all returns the contents of the boxes of a kind in b.
func (b box) all(kind string) []box {
	var found []box
	for len(b) >= 8 {
		size := int(binary.BigEndian.Uint32(b))
		if size < 8 || size > len(b) {
			break
		}
		if string(b[4:8]) == kind {
			found = append(found, b[8:size])
		}
		b = b[size:]
	}
	return found
}

// one returns the content of the first box of a kind in b, nil for none.
func (b box) one(kind string) box {
	if found := b.all(kind); len(found) > 0 {
		return found[0]
	}
	return nil
}

// number returns the 32-bit number at an offset, 0 beyond the end.
func (b box) number(at int) uint32 {
	if at < 0 || at+4 > len(b) {
		return 0
	}
	return binary.BigEndian.Uint32(b[at:])
}

func (b box) bytes(at, n int) []byte {
	if at+n > len(b) {
		return nil
	}
	return b[at : at+n]
}
