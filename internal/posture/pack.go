package posture

import (
	"encoding/binary"
	"errors"
	"math"

	"tenoff/internal/bullpen"
)

// A packed track: a byte that names this format, then for each pose its frame less the
// one before it, its box (four numbers of 16 bits, thousandths of the picture, which it
// may leave) and its points (X and Y of 16 bits, in 1/8192 of the picture's height, and
// how sure in a byte). Numbers are little-endian.
const (
	packing   = 1
	perHeight = 8192
	perBox    = 1000
	onePose   = 4*2 + Joints*(2+2+1)
)

// errPacked is what a track gives that was packed otherwise, or is not whole.
var errPacked = errors.New("posture: joints are not packed as this program packs them")

// Pack returns a track in 93 bytes a pose and one more. A place is kept to 1/16000 of the
// picture's height, at most 4 heights from its corner; how sure, to 1/500.
func (t Track) Pack() []byte {
	out := []byte{packing}
	last := 0
	for _, p := range t {
		out = binary.AppendUvarint(out, uint64(p.Frame-last))
		last = p.Frame
		for _, v := range []float64{p.Box.X, p.Box.Y, p.Box.Width, p.Box.Height} {
			out = binary.LittleEndian.AppendUint16(out, uint16(whole(v*perBox)))
		}
		for _, q := range p.Points {
			out = binary.LittleEndian.AppendUint16(out, uint16(whole(q.X*perHeight)))
			out = binary.LittleEndian.AppendUint16(out, uint16(whole(q.Y*perHeight)))
			out = append(out, byte(math.Round(255*min(max(q.Sure, 0), 1))))
		}
	}
	return out
}

// whole rounds to a number of 16 bits.
func whole(v float64) int16 {
	return int16(math.Round(min(max(v, math.MinInt16), math.MaxInt16)))
}

// Unpack returns the track that Pack packed, of a film with clock c.
func Unpack(packed []byte, c bullpen.Clock) (Track, error) {
	if len(packed) == 0 || packed[0] != packing {
		return nil, errPacked
	}
	packed = packed[1:]
	track := make(Track, 0, len(packed)/onePose)
	for frame := 0; len(packed) > 0; {
		step, n := binary.Uvarint(packed)
		if n <= 0 || len(packed) < n+onePose || step >= uint64(c.Frames()-frame) {
			return nil, errPacked
		}
		frame += int(step)
		packed = packed[n:]
		next := func() float64 {
			v := int16(binary.LittleEndian.Uint16(packed))
			packed = packed[2:]
			return float64(v)
		}
		p := Pose{Frame: frame, Seconds: c.RealSeconds(0, frame)}
		for _, to := range []*float64{&p.Box.X, &p.Box.Y, &p.Box.Width, &p.Box.Height} {
			*to = next() / perBox
		}
		for i := range p.Points {
			p.Points[i] = Point{X: next() / perHeight, Y: next() / perHeight, Sure: float64(packed[0]) / 255}
			packed = packed[1:]
		}
		track = append(track, p)
	}
	return track, nil
}
