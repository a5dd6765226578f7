package film

import (
	"encoding/binary"
	"errors"
	"io"
	"math"
	"mime/multipart"
)

// Strip is the pictures along a film's timeline: picture n stands for the time
// from n*Every to (n+1)*Every and shows the frame in its middle.
type Strip struct {
	Every float64 // file seconds from one picture to the next
	from  io.ReaderAt
	ends  []int64 // offsets in the file: of picture 0, and of each one's end
}

// A strip's file: magic, Every, the number of pictures, each one's length, and the
// pictures one after the other. Numbers are little-endian.
var stripMagic = [8]byte{'T', 'O', 'S', 't', 'r', 'i', 'p', '1'}

const (
	stripHead   = 8 + 8 + 4
	maxPictures = 1 << 16
	maxPicture  = 1 << 20 // bytes
)

var errStrip = errors.New("film: strip is damaged")

// OpenStrip reads the index of a strip of size bytes.
func OpenStrip(from io.ReaderAt, size int64) (*Strip, error) {
	head := make([]byte, stripHead)
	if _, err := from.ReadAt(head, 0); err != nil {
		return nil, errors.Join(errStrip, err)
	}
	every := math.Float64frombits(binary.LittleEndian.Uint64(head[8:]))
	n := int(binary.LittleEndian.Uint32(head[16:]))
	if [8]byte(head) != stripMagic || !(every > 0) || math.IsInf(every, 0) || n > maxPictures || stripHead+4*int64(n) > size {
		return nil, errStrip
	}
	lengths := make([]byte, 4*n)
	if _, err := from.ReadAt(lengths, stripHead); err != nil && n > 0 {
		return nil, errors.Join(errStrip, err)
	}
	s := &Strip{Every: every, from: from, ends: make([]int64, n+1)}
	s.ends[0] = stripHead + 4*int64(n)
	for i := range n {
		s.ends[i+1] = s.ends[i] + int64(binary.LittleEndian.Uint32(lengths[4*i:]))
	}
	if s.ends[n] != size {
		return nil, errStrip
	}
	return s, nil
}

// Len returns the number of pictures.
func (s *Strip) Len() int { return max(0, len(s.ends)-1) }

// Picture returns picture n, a JPEG, 0 <= n < Len().
func (s *Strip) Picture(n int) ([]byte, error) {
	picture := make([]byte, s.ends[n+1]-s.ends[n])
	_, err := s.from.ReadAt(picture, s.ends[n])
	if errors.Is(err, io.EOF) {
		err = nil // the last one's end is the file's
	}
	return picture, err
}

// gatherer collects the strip's pictures while the pass runs.
type gatherer struct {
	every    float64
	pictures [][]byte
}

// read takes pictures in ffmpeg's mpjpeg format, a multipart message.
func (g *gatherer) read(r io.Reader) error {
	parts := multipart.NewReader(r, "ffmpeg")
	for {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
			return nil // the message has no proper end
		}
		if err != nil {
			return err
		}
		picture, err := io.ReadAll(io.LimitReader(part, maxPicture))
		if err != nil {
			return err
		}
		if len(g.pictures) < maxPictures {
			g.pictures = append(g.pictures, picture)
		}
	}
}

// MarshalBinary returns the strip's file.
func (g *gatherer) MarshalBinary() ([]byte, error) {
	b := append([]byte(nil), stripMagic[:]...)
	b = binary.LittleEndian.AppendUint64(b, math.Float64bits(g.every))
	b = binary.LittleEndian.AppendUint32(b, uint32(len(g.pictures)))
	for _, p := range g.pictures {
		b = binary.LittleEndian.AppendUint32(b, uint32(len(p)))
	}
	for _, p := range g.pictures {
		b = append(b, p...)
	}
	return b, nil
}
