//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"github.com/creack/pty"
)

func text2(c float64) string { return fmt.Sprintf("%.2f", c) }

// onDeafScreen starts a cook on a terminal whose other end is never read.
func onDeafScreen(t *testing.T, dir, probe string) (cmd *subject, master, tty *os.File, err error) {
	if master, tty, err = pty.Open(); err != nil {
		return nil, nil, nil, err
	}
	_ = pty.Setsize(master, &pty.Winsize{Cols: 200, Rows: 60})
	cmd = watched(t, exec.Command(program(t), "cook", "--probe", probe, "--dir", dir))
	cmd.Env = append(cmd.Env, "TERM=xterm-256color", "LANG=C.UTF-8", "LC_ALL=")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = tty, tty, tty
	cmd.SysProcAttr.Setctty = true
	return cmd, master, tty, cmd.Start()
}

// In a locale without UTF-8 the screen is drawn with ASCII alone.
func TestCookWithoutUTF8(t *testing.T) {
	t.Parallel()
	cmd := exec.Command("env", "LC_ALL=C", program(t), "cook", "--demo", "--speed", "50", "--dir", t.TempDir())
	s := commandOnScreen(t, 100, 30, false, cmd)
	s.sees("[melt]")
	s.cmd.Process.Signal(syscall.SIGINT)
	s.ends()
	s.restored()
	if i := strings.IndexFunc(s.raw.String(), func(r rune) bool { return r > 0x7e }); i >= 0 {
		raw := s.raw.String()
		t.Errorf("beyond ASCII: %q", raw[max(i-20, 0):min(i+20, len(raw))])
	}
}
