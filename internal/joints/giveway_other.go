//go:build !linux

package joints

// giveWay does nothing where a thread has no priority of its own to lower.
func giveWay() {}
