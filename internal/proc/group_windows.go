package proc

import (
	"os"
	"os/exec"
	"sync"
	"syscall"
	"unsafe"

	"golang.org/x/sys/windows"
)

// isolate puts the program into a console group of its own, so that Ctrl-C reaches only
// us.
func isolate(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{CreationFlags: windows.CREATE_NEW_PROCESS_GROUP}
}

// interrupt asks the program to end, or ends it where nobody can be asked: Ctrl-Break
// goes only to programs that share our console.
func interrupt(p *os.Process) {
	if windows.GenerateConsoleCtrlEvent(windows.CTRL_BREAK_EVENT, uint32(p.Pid)) != nil {
		kill(p)
	}
}

func kill(p *os.Process) { _ = p.Kill() }

// ours is a job object that ends whatever is in it when this process ends; 0 if Windows
// gives us none.
var ours = sync.OnceValue(func() windows.Handle {
	job, err := windows.CreateJobObject(nil, nil)
	if err != nil {
		return 0
	}
	var limits windows.JOBOBJECT_EXTENDED_LIMIT_INFORMATION
	limits.BasicLimitInformation.LimitFlags = windows.JOB_OBJECT_LIMIT_KILL_ON_JOB_CLOSE
	_, err = windows.SetInformationJobObject(job, windows.JobObjectExtendedLimitInformation, uintptr(unsafe.Pointer(&limits)), uint32(unsafe.Sizeof(limits)))
	if err != nil {
		windows.CloseHandle(job)
		return 0
	}
	return job
})

// tie has the program end with this process, however that ends.
func tie(p *os.Process) {
	withHandle(p, windows.PROCESS_SET_QUOTA|windows.PROCESS_TERMINATE, func(h windows.Handle) {
		_ = windows.AssignProcessToJobObject(ours(), h)
	})
}

// giveWay lowers the program's priority. That it can't be is no reason not to run it.
func giveWay(p *os.Process) {
	withHandle(p, windows.PROCESS_SET_INFORMATION, func(h windows.Handle) {
		_ = windows.SetPriorityClass(h, windows.BELOW_NORMAL_PRIORITY_CLASS)
	})
}

func withHandle(p *os.Process, access uint32, do func(windows.Handle)) {
	h, err := windows.OpenProcess(access, false, uint32(p.Pid))
	if err != nil {
		return
	}
	defer windows.CloseHandle(h)
	do(h)
}
