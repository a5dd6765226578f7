package proc

import "syscall"

// dieWithParent has the kernel kill the program when this process dies without
// having stopped it. The kernel watches the thread that started the program, which
// Run therefore keeps.
func dieWithParent(a *syscall.SysProcAttr) { a.Pdeathsig = syscall.SIGKILL }
