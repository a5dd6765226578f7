package film

import "io"

// Strip is the pictures along a film's timeline: picture n stands for the time
// from n*Every to (n+1)*Every.
type Strip struct {
	Every float64 // file seconds from one picture to the next
	from  io.ReaderAt
	ends  []int64
}

// OpenStrip reads the index of a strip of size bytes.
func OpenStrip(from io.ReaderAt, size int64) (*Strip, error) { return nil, errNotYet }

// Len returns the number of pictures.
func (s *Strip) Len() int { return max(0, len(s.ends)-1) }

// Picture returns picture n, a JPEG, 0 <= n < Len().
func (s *Strip) Picture(n int) ([]byte, error) { return nil, errNotYet }
