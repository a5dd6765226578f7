//go:build unix

package proc

import (
	"os"
	"os/exec"
	"syscall"
)

// isolate puts the program into a process group of its own, so that a signal
// reaches all it started and none of ours.
func isolate(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	dieWithParent(cmd.SysProcAttr)
}

// tie has nothing to add to isolate.
func tie(*os.Process) {}

// interrupt asks the program's group to end.
func interrupt(p *os.Process) { _ = syscall.Kill(-p.Pid, syscall.SIGINT) }

// kill ends the program's group.
func kill(p *os.Process) { _ = syscall.Kill(-p.Pid, syscall.SIGKILL) }

// nice is how far a program that gives way does: half of what there is.
const nice = 10

// giveWay lowers the program's priority. That it can't be is no reason not to run it.
func giveWay(p *os.Process) { _ = syscall.Setpriority(syscall.PRIO_PGRP, p.Pid, nice) }
