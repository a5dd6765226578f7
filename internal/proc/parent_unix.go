//go:build unix && !linux

package proc

import "syscall"

func dieWithParent(*syscall.SysProcAttr) {}
