//go:build unix

package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/sessions"
)

// program is the program under test: this test, which [testscript.Main] has
// laid out under another name. See [underTest].
func program(t testing.TB) string {
	t.Helper()
	path, err := exec.LookPath("boildown")
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// subject is a process that a test starts, in a session of its own, and what it
// leaves behind.
type subject struct {
	*exec.Cmd
	dir string
}

// watched prepares a command that is not started yet. Its end must be waited
// for, and then nothing of it may be left: no process that it started, and
// nothing that it says itself it left open.
func watched(t testing.TB, cmd *exec.Cmd) *subject {
	t.Helper()
	dir, err := os.MkdirTemp(buildDir, "behind-")
	if err != nil {
		t.Fatal(err)
	}
	cmd.Env = append(cmd.Environ(), behindEnv+"="+dir)
	if cmd.SysProcAttr == nil {
		cmd.SysProcAttr = &syscall.SysProcAttr{}
	}
	cmd.SysProcAttr.Setsid = true
	return &subject{cmd, dir}
}

// ends waits for its end and says how it was. One that does not come fails the
// test, not all tests with it.
func (s *subject) ends(t testing.TB) error {
	late := time.AfterFunc(patience, func() {
		t.Errorf("waited %v for the end of %q", patience, s.Args)
		s.Process.Kill()
	})
	defer late.Stop()
	return s.Wait()
}

// endsWhole waits until all processes that came of it have ended.
func (s *subject) endsWhole(t testing.TB) {
	t.Helper()
	waitUntil(t, "the end of all that it started", func() bool { return len(processesOf(s.Process.Pid)) == 0 })
}

// leavesNothing checks that it has left no process, goroutine or descriptor.
func (s *subject) leavesNothing(t testing.TB) {
	t.Helper()
	s.endsWhole(t)
	if left := leftIn(s.dir); left != "" {
		t.Errorf("%q has left: %s", s.Args, left)
	}
	os.RemoveAll(s.dir)
}

// acknowledged is how many readings of the session s the program under test has
// called synced, and how many lines of those that it called so are not there.
func (s *subject) acknowledged(kept *sessions.Session) (readings, missing int) {
	lines := syncedIn(s.dir) - 1 // without the header
	if lines > len(kept.Records) {
		missing = lines - len(kept.Records)
		lines = len(kept.Records)
	}
	for _, r := range kept.Records[:max(lines, 0)] {
		if r.Kind == sessions.InputRecord && r.Input.Kind == plateau.Measured {
			readings++
		}
	}
	return readings, missing
}

// processesOf are the numbers of the processes of a session that still live,
// where the system lists them.
func processesOf(leader int) (alive []string) {
	all, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, file := range all {
		text, err := os.ReadFile(file)
		if err != nil {
			continue // it has just ended
		}
		// proc(5): pid (name) state ppid pgrp session …; the name may hold anything.
		fields := strings.Fields(string(text[strings.LastIndexByte(string(text), ')')+1:]))
		if len(fields) > 3 && fields[3] == fmt.Sprint(leader) && fields[0] != "Z" {
			alive = append(alive, filepath.Base(filepath.Dir(file)))
		}
	}
	return alive
}
