//go:build unix

package main

import (
	"os/exec"
	"syscall"
)

// ownGroup gives cmd a process group of its own and makes its cancellation
// end the whole group: a script's children must not outlive their time.
func ownGroup(cmd *exec.Cmd) {
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
}
