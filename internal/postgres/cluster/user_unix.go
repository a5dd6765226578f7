//go:build unix

package cluster

import (
	"errors"
	"os"
	"os/exec"
	"os/user"
	"strconv"
	"syscall"
)

// withoutRights returns how a process is started as a user without rights: PostgreSQL
// does not run as root.
func withoutRights() (as func(*exec.Cmd), uid, gid int, err error) {
	if os.Geteuid() != 0 {
		return func(*exec.Cmd) {}, os.Geteuid(), os.Getegid(), nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		u, lookup := user.Lookup(name)
		if lookup != nil {
			err = errors.Join(err, lookup)
			continue
		}
		uid, uidErr := strconv.Atoi(u.Uid)
		gid, gidErr := strconv.Atoi(u.Gid)
		as := func(cmd *exec.Cmd) {
			cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}
		}
		return as, uid, gid, errors.Join(uidErr, gidErr)
	}
	return nil, 0, 0, err
}
