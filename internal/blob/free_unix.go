//go:build linux || darwin

package blob

import "syscall"

// Free returns how many bytes the disk has left for us.
func (s *Store) Free() (int64, error) {
	var stat syscall.Statfs_t
	if err := syscall.Statfs(s.dir, &stat); err != nil {
		return 0, err
	}
	return int64(stat.Bavail) * int64(stat.Bsize), nil
}
