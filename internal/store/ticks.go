package store

import (
	"encoding/binary"
	"errors"
)

// packTicks writes rising ticks as varints of their differences.
func packTicks(ticks []int64) []byte {
	out := make([]byte, 0, 2*len(ticks)+8)
	var last int64
	for _, t := range ticks {
		out = binary.AppendVarint(out, t-last)
		last = t
	}
	return out
}

func unpackTicks(packed []byte) ([]int64, error) {
	if len(packed) == 0 {
		return nil, nil
	}
	ticks := make([]int64, 0, len(packed))
	var last int64
	for len(packed) > 0 {
		d, n := binary.Varint(packed)
		if n <= 0 {
			return nil, errors.New("damaged")
		}
		last += d
		ticks = append(ticks, last)
		packed = packed[n:]
	}
	return ticks, nil
}
