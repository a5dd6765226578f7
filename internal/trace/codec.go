package trace

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
)

// ErrVersion says that a stored trace was made by another version of the method
// and has to be measured anew.
var ErrVersion = errors.New("trace: stored by another version of the method")

// errDamaged says that a stored trace can't be read.
var errDamaged = errors.New("trace: stored trace is damaged")

// The first bytes of the two kinds of stored trace; the version follows them.
var (
	motionMagic = [4]byte{'T', 'O', 'M', 'o'}
	soundMagic  = [4]byte{'T', 'O', 'S', 'o'}
)

// Limits of what a stored trace may claim, so that a damaged one can't ask for
// the machine's memory.
const (
	maxSide    = 256
	maxSamples = 1 << 24
)

// writer appends little-endian fields.
type writer struct{ b []byte }

func (w *writer) head(magic [4]byte) {
	w.b = append(w.b, magic[:]...)
	w.u32(Version)
}
func (w *writer) u32(v int)     { w.b = binary.LittleEndian.AppendUint32(w.b, uint32(v)) }
func (w *writer) f32(v float32) { w.b = binary.LittleEndian.AppendUint32(w.b, math.Float32bits(v)) }
func (w *writer) f64(v float64) { w.b = binary.LittleEndian.AppendUint64(w.b, math.Float64bits(v)) }

// reader takes little-endian fields; after the first thing wrong err is set and
// everything read is zero.
type reader struct {
	b   []byte
	err error
}

func (r *reader) take(n int) []byte {
	if r.err != nil || n > len(r.b) {
		r.fail(errDamaged)
		return make([]byte, 8)[:min(n, 8)]
	}
	out := r.b[:n]
	r.b = r.b[n:]
	return out
}

func (r *reader) fail(err error) {
	if r.err == nil {
		r.err = err
	}
	r.b = nil
}

func (r *reader) head(magic [4]byte) {
	if [4]byte(r.take(4)) != magic {
		r.fail(errDamaged)
		return
	}
	if v := r.u32(); r.err == nil && v != Version {
		r.fail(fmt.Errorf("%w: %d, this is %d", ErrVersion, v, Version))
	}
}

// HeadBytes is how many bytes of a stored trace CheckHead needs.
const HeadBytes = 8

// CheckHead returns ErrVersion if the first bytes of a stored trace say that another
// version of the method made it, and an error if they are no trace's.
func CheckHead(head []byte) error {
	r := reader{b: head}
	magic := motionMagic
	if len(head) >= len(magic) && [4]byte(head[:4]) == soundMagic {
		magic = soundMagic
	}
	r.head(magic)
	return r.err
}

func (r *reader) u32() int { return int(binary.LittleEndian.Uint32(r.take(4))) }

// f32 and f64 refuse what is not a finite number.
func (r *reader) f32() float32 {
	return float32(r.finite(float64(math.Float32frombits(uint32(r.u32())))))
}
func (r *reader) f64() float64 {
	return r.finite(math.Float64frombits(binary.LittleEndian.Uint64(r.take(8))))
}

func (r *reader) finite(v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		r.fail(errDamaged)
		return 0
	}
	return v
}

// count reads a length of things that take at least size bytes each.
func (r *reader) count(size int) int {
	n := r.u32()
	if n > maxSamples || n*size > len(r.b) {
		r.fail(errDamaged)
		return 0
	}
	return n
}

// MarshalBinary returns m as stored beside the film. It never fails.
func (m *Motion) MarshalBinary() ([]byte, error) {
	w := writer{make([]byte, 0, len(m.packed)+29*m.Len()+64)}
	w.head(motionMagic)
	w.u32(m.Cols)
	w.u32(m.Rows)
	w.f64(m.Slow)
	w.f64(m.End)
	w.u32(m.Len())
	for i, t := range m.Times {
		w.f64(t)
		s := m.Shifts[i]
		for _, v := range [...]float32{s.X, s.Y, s.S, s.R, s.Lag} {
			w.f32(v)
		}
		var doubled byte
		if m.Doubled[i] {
			doubled = 1
		}
		w.b = append(w.b, doubled)
	}
	w.b = append(w.b, m.packed...)
	return w.b, nil
}

// UnmarshalBinary reads what MarshalBinary wrote. It returns ErrVersion for a
// trace of another version, and an error for one that is damaged.
func (m *Motion) UnmarshalBinary(b []byte) error {
	r := reader{b: b}
	r.head(motionMagic)
	got := Motion{Cols: r.u32(), Rows: r.u32(), Slow: r.f64(), End: r.f64()}
	if got.Cols < 1 || got.Cols > maxSide || got.Rows < 1 || got.Rows > maxSide || got.Slow <= 0 {
		r.fail(errDamaged)
	}
	n := r.count(29)
	got.Times, got.Shifts, got.Doubled = make([]float64, n), make([]Shift, n), make([]bool, n)
	for i := range n {
		got.Times[i] = r.f64()
		if i > 0 && got.Times[i] <= got.Times[i-1] {
			r.fail(errDamaged)
		}
		got.Shifts[i] = Shift{X: r.f32(), Y: r.f32(), S: r.f32(), R: r.f32(), Lag: r.f32()}
		got.Doubled[i] = r.take(1)[0] == 1
	}
	if r.err != nil {
		return r.err
	}
	got.packed, got.ends = append([]byte(nil), r.b...), make([]int, n)
	at := 0
	for i := range got.ends {
		k, err := checkCells(got.packed[at:], got.Cols*got.Rows)
		if err != nil {
			return err
		}
		at += k
		got.ends[i] = at
	}
	if at != len(got.packed) {
		return errDamaged
	}
	*m = got
	return nil
}

// MarshalBinary returns s as stored beside the film. It never fails.
func (s *Sound) MarshalBinary() ([]byte, error) {
	w := writer{make([]byte, 0, len(s.Level)+20*len(s.Onsets)+64)}
	w.head(soundMagic)
	w.f64(s.End)
	w.u32(len(s.Onsets))
	for _, o := range s.Onsets {
		w.f64(o.Time)
		for _, v := range [...]float32{o.Z, o.Peak, o.Rise} {
			w.f32(v)
		}
	}
	w.u32(len(s.Level))
	w.b = append(w.b, s.Level...)
	return w.b, nil
}

// UnmarshalBinary reads what MarshalBinary wrote. It returns ErrVersion for a
// trace of another version, and an error for one that is damaged.
func (s *Sound) UnmarshalBinary(b []byte) error {
	r := reader{b: b}
	r.head(soundMagic)
	got := Sound{End: r.f64()}
	got.Onsets = make([]Onset, r.count(20))
	for i := range got.Onsets {
		got.Onsets[i] = Onset{Time: r.f64(), Z: r.f32(), Peak: r.f32(), Rise: r.f32()}
		if i > 0 && got.Onsets[i].Time < got.Onsets[i-1].Time {
			r.fail(errDamaged)
		}
	}
	got.Level = append([]uint8(nil), r.take(r.count(1))...)
	if r.err == nil && len(r.b) > 0 {
		r.fail(errDamaged)
	}
	if r.err != nil {
		return r.err
	}
	*s = got
	return nil
}
