package trace

import (
	"encoding/binary"
	"errors"
	"math"
)

// errCells says that packed cells are damaged.
var errCells = errors.New("trace: cells are damaged")

// pack appends cells to to. Most cells of most samples are zero, so runs of
// zeros are coded as one pair of numbers: 0 and the run's length; any other
// value is one number, its value in 1/cellSteps.
func pack(to []byte, cells []float32) []byte {
	for i := 0; i < len(cells); {
		q := quantise(cells[i])
		i++
		to = binary.AppendUvarint(to, uint64(q))
		if q != 0 {
			continue
		}
		run := 1
		for i < len(cells) && quantise(cells[i]) == 0 {
			run++
			i++
		}
		to = binary.AppendUvarint(to, uint64(run))
	}
	return to
}

func quantise(v float32) uint16 {
	q := v*cellSteps + 0.5
	if !(q > 0) {
		return 0
	}
	return uint16(min(q, math.MaxUint16))
}

// unpack fills cells from what pack wrote; packed must be sound (checkCells).
func unpack(packed []byte, cells []float32) {
	i := 0
	for i < len(cells) && len(packed) > 0 {
		q, n := binary.Uvarint(packed)
		packed = packed[n:]
		if q != 0 {
			cells[i] = float32(q) / cellSteps
			i++
			continue
		}
		run, n := binary.Uvarint(packed)
		packed = packed[n:]
		clear(cells[i : i+int(run)])
		i += int(run)
	}
}

// checkCells returns how many of packed's bytes one sample of n cells takes, or
// errCells.
func checkCells(packed []byte, n int) (int, error) {
	at := 0
	next := func() uint64 {
		v, k := binary.Uvarint(packed[at:])
		if k <= 0 {
			return math.MaxUint64
		}
		at += k
		return v
	}
	for i := 0; i < n; {
		q := next()
		if q > math.MaxUint16 {
			return 0, errCells
		}
		if q != 0 {
			i++
			continue
		}
		run := next()
		if run == 0 || run > uint64(n-i) {
			return 0, errCells
		}
		i += int(run)
	}
	return at, nil
}
