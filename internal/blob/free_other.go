//go:build !linux && !darwin

package blob

import "math"

// Free returns how many bytes the disk has left for us. This system is not asked;
// a full disk shows itself when it is written to.
func (s *Store) Free() (int64, error) { return math.MaxInt64, nil }
