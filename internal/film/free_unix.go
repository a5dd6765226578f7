//go:build unix

package film

import "golang.org/x/sys/unix"

// free returns how many bytes a file in dir may still take.
func free(dir string) (int64, error) {
	var s unix.Statfs_t
	if err := unix.Statfs(dir, &s); err != nil {
		return 0, err
	}
	return int64(uint64(s.Bavail) * uint64(s.Bsize)), nil
}
