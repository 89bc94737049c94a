//go:build unix

package main

import (
	"io"
	"os"
	"os/exec"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"golang.org/x/sys/unix"
)

// keeperPatience is how long a keeper may take to start or to end, on a busy
// machine. A cook that got none goes on without.
const keeperPatience = 2 * time.Second

// keeper is the cook's side of its keeper. A nil one is none.
type keeper struct {
	cmd  *exec.Cmd
	told *os.File
}

// startKeeper starts a keeper of the terminal, or returns nil when it cannot.
// Call it while the terminal still has its own modes.
func startKeeper(tty *os.File, dir, batch string) *keeper {
	exe, err := os.Executable()
	if err != nil {
		return nil
	}
	in, told, err := os.Pipe()
	if err != nil {
		return nil
	}
	defer in.Close()
	heard, ready, err := os.Pipe()
	if err != nil {
		told.Close()
		return nil
	}
	defer heard.Close()
	cmd := exec.Command(exe, keeperWord, dir, batch)
	cmd.Args[0] = os.Args[0]
	cmd.Stdin, cmd.Stdout, cmd.ExtraFiles = in, ready, []*os.File{tty}
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true} // keys and hang-ups are not for it
	err = cmd.Start()
	ready.Close()
	if err != nil {
		told.Close()
		return nil
	}
	k := &keeper{cmd: cmd, told: told}
	_ = heard.SetReadDeadline(time.Now().Add(keeperPatience))
	if n, _ := heard.Read(make([]byte, 1)); n == 0 || debug.SetCrashOutput(told, debug.CrashOptions{}) != nil {
		k.release()
		return nil
	}
	return k
}

// release tells the keeper that all is in order and waits for its end.
func (k *keeper) release() {
	if k == nil {
		return
	}
	_, _ = io.WriteString(k.told, inOrder)
	_ = debug.SetCrashOutput(nil, debug.CrashOptions{})
	k.told.Close()
	late := time.AfterFunc(keeperPatience, func() { _ = k.cmd.Process.Kill() })
	defer late.Stop()
	_ = k.cmd.Wait()
}

// keep is the keeper's own main: standard input ends with the cook, standard
// output says that the terminal's modes are noted, descriptor 3 is the
// terminal.
func keep(args []string) int {
	signal.Ignore(syscall.SIGINT, syscall.SIGQUIT, syscall.SIGHUP, syscall.SIGTERM, syscall.SIGPIPE,
		syscall.SIGTSTP, syscall.SIGTTIN, syscall.SIGTTOU)
	tty := os.NewFile(3, "terminal")
	if len(args) != 2 || tty == nil {
		return statusUsage
	}
	modes, err := unix.IoctlGetTermios(3, getModes)
	if err != nil {
		return statusFailed
	}
	_, _ = os.Stdout.WriteString("+")
	os.Stdout.Close()
	trace, ok := dyingWords(os.Stdin)
	if ok {
		return statusOK
	}
	putRight(tty, modes)
	return report(tty, obituary(args[0], args[1], trace))
}

// putRight gives the terminal back as it was. Modes that are no longer those
// of a screen are left alone: a shell has taken the terminal over and set its
// own.
func putRight(tty *os.File, modes *unix.Termios) {
	now, err := unix.IoctlGetTermios(3, getModes)
	if err == nil && now.Lflag&unix.ISIG == 0 && now.Oflag&unix.OPOST == 0 {
		_ = unix.IoctlSetTermios(3, setModes, modes)
	}
	_, _ = tty.WriteString(leaveScreen)
}
