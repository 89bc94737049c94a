//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
)

// underShell starts the program as a shell would: the shell leads the session
// and has the terminal before and after. It says "status N" at the end.
func underShell(t testing.TB, args ...string) *screen {
	t.Helper()
	script := `"$@"; echo "status $?"; read -r line`
	return commandOnScreen(t, 100, 30, false, exec.Command("sh", append([]string{"-c", script, "sh", program(t)}, args...)...))
}

// cookOf returns the process of the program that the shell of s runs.
func cookOf(t testing.TB, s *screen) int {
	t.Helper()
	out, err := exec.Command("pgrep", "-P", strconv.Itoa(s.cmd.Process.Pid)).Output()
	pid, convErr := strconv.Atoi(strings.TrimSpace(string(out)))
	if err != nil || convErr != nil {
		t.Fatalf("the shell's children are %q: %v", out, err)
	}
	return pid
}

// A cook that dies without a chance to tidy up leaves a terminal that is as it
// was and one message that says how to go on.
func TestTerminalOutlivesTheCook(t *testing.T) {
	if _, err := exec.LookPath("pgrep"); err != nil {
		t.Skip(err)
	}
	for _, c := range []struct {
		name string
		sig  syscall.Signal
		says string
		note bool
	}{
		{"killed", syscall.SIGKILL, "boildown: the cook was killed before it could end", false},
		{"a fault that cannot be recovered from", syscall.SIGABRT, "boildown: a fault in the program ended the cook: SIGABRT", true},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			dir := t.TempDir()
			probe := plugIn(t, hurriedMelt)
			s := underShell(t, "cook", "--probe", probe.path, "--dir", dir)
			s.sees("◀ now")
			if err := syscall.Kill(cookOf(t, s), c.sig); err != nil {
				t.Fatal(err)
			}
			s.waitFor("the last words", func() bool {
				return strings.Contains(s.text(), c.says) && strings.Contains(s.text(), "hint: the batch is kept; go on with it by boildown cook --continue=")
			})
			s.waitFor("the shell", func() bool {
				return strings.Contains(s.raw.String(), "status 137") || strings.Contains(s.raw.String(), "status 2")
			})
			s.restored()
			notes, _ := filepath.Glob(filepath.Join(dir, "crash-*.txt"))
			if (len(notes) == 1) != c.note {
				t.Fatalf("%d crash notes", len(notes))
			}
			for _, n := range notes {
				info, err := os.Stat(n)
				text, readErr := os.ReadFile(n)
				if err != nil || readErr != nil || info.Mode().Perm() != 0o600 || !strings.Contains(string(text), "goroutine") {
					t.Errorf("the crash note of mode %v says %q", info.Mode(), text)
				}
			}
			if kept := only(t, dir); kept.Closed || len(kept.Damage) > 0 || lastC(kept) == 0 {
				t.Errorf("closed %v, damage %v, last reading %v", kept.Closed, kept.Damage, lastC(kept))
			}
			s.press("\r")
		})
	}
}
