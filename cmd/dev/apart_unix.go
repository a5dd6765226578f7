//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// apart starts a program in a process group of its own: the terminal's Ctrl-C reaches only
// us.
func apart() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setpgid: true} }

// withIDs has a program run as another user.
func withIDs(cmd *exec.Cmd, uid, gid int) *exec.Cmd {
	cmd.SysProcAttr.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return cmd
}
