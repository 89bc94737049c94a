package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
)

// A cook that logs in at a broker shows the password to nobody: not in the list
// of processes, its own helpers included, and not in the environment of one of
// those that are not this program.
func TestSecretsReachNoOtherProcess(t *testing.T) {
	t.Parallel()
	const secret = "h0t-sugar-7"
	dir := t.TempDir()
	cmd := exec.Command("env", "BOILDOWN_MQTT_USER=cook", "BOILDOWN_MQTT_PASSWORD="+secret,
		program(t), "cook", "--probe", "mqtt://127.0.0.1:1/pot", "--publish", "mqtt://127.0.0.1:1/kitchen", "--alert", "sleep 600", "--dir", dir)
	s := commandOnScreen(t, 100, 30, false, cmd)
	s.sees("cannot")
	s.press("a") // sounds the alarm, to hear it
	found := 0
	for _, pid := range processesOf(s.cmd.Process.Pid) {
		words, _ := os.ReadFile(filepath.Join("/proc", pid, "cmdline"))
		if strings.Contains(string(words), secret) {
			t.Errorf("the list of processes says %q", words)
		}
		exe, _ := os.Readlink(filepath.Join("/proc", pid, "exe"))
		env, _ := os.ReadFile(filepath.Join("/proc", pid, "environ"))
		if strings.Contains(string(env), secret) {
			found++
			if filepath.Base(exe) != "boildown" {
				t.Errorf("%s has the password in its environment", exe)
			}
		}
	}
	if found == 0 {
		t.Error("the cook itself does not know the password")
	}
	s.cmd.Process.Signal(syscall.SIGTERM)
	s.ends()
	s.restored()
	if strings.Contains(s.wrote(), secret) {
		t.Error("the password is on the screen")
	}
	for path, mode := range contents(t, dir) {
		text, err := os.ReadFile(path)
		if mode.IsRegular() && (err != nil || strings.Contains(string(text), secret)) {
			t.Errorf("%s holds the password (%v)", path, err)
		}
	}
}
