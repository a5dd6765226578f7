//go:build !unix

package proc

import (
	"os"
	"os/exec"
)

func isolate(*exec.Cmd) {}

func interrupt(p *os.Process) { _ = p.Signal(os.Interrupt) }

func kill(p *os.Process) { _ = p.Kill() }

func giveWay(*os.Process) {}
