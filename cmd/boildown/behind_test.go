package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"boildown/probe/probetest"
	"boildown/sessions"
)

// behindEnv names the folder in which a program under test leaves word of how
// far its record is synced, and of what it has left open at its end.
const behindEnv = "BOILDOWN_TEST_BEHIND"

// underTest is main in the tests: the same program, compiled with the tests and
// so with their race detector, which looks behind itself before it exits.
func underTest() {
	dir := os.Getenv(behindEnv)
	if dir == "" || len(os.Args) > 1 && os.Args[1] == keeperWord {
		main()
	}
	before := probetest.OpenNow()
	flags := &cookFlags{recording: func(r *sessions.Recorder) {
		if f, err := os.Create(filepath.Join(dir, "synced")); err == nil {
			go tellSynced(r, f)
		}
	}}
	root := rootCommand()
	for _, cmd := range root.Commands() {
		if cmd.Name() == "cook" {
			root.RemoveCommand(cmd)
		}
	}
	root.AddCommand(cookCommandOf(flags))
	status := execute(context.Background(), root, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if left := before.Left(10*time.Second, waitsForALine); left != "" {
		_ = os.WriteFile(filepath.Join(dir, fmt.Sprintf("left-%d", os.Getpid())), []byte(left), 0o600)
	}
	os.Exit(status)
}

// tellSynced writes to f how many lines of the record are on the disk for good,
// in one write each time, until the record ends. What it says can be relied
// upon after a kill -9.
func tellSynced(r *sessions.Recorder, f *os.File) {
	defer f.Close()
	tick := time.NewTicker(5 * time.Millisecond)
	defer tick.Stop()
	for told, over := -1, false; ; {
		if n := r.Status().Synced; n != told {
			told = n
			_, _ = f.WriteAt(fmt.Appendf(nil, "%9d\n", n), 0)
		}
		if over {
			return
		}
		select {
		case <-r.Done():
			over = true
		case <-tick.C:
		}
	}
}

// syncedIn is what tellSynced wrote last, 0 for nothing.
func syncedIn(dir string) int {
	text, _ := os.ReadFile(filepath.Join(dir, "synced"))
	n, _ := strconv.Atoi(strings.TrimSpace(string(text)))
	return n
}

// leftIn is what programs under test have left open, "" for nothing.
func leftIn(dir string) (all string) {
	files, _ := filepath.Glob(filepath.Join(dir, "left-*"))
	for _, f := range files {
		text, err := os.ReadFile(f)
		all += fmt.Sprintln(string(text), err)
	}
	return all
}

// waitsForALine reports whether a goroutine waits for a line on standard input:
// no read of it can be taken back.
func waitsForALine(stack string) bool {
	return strings.Contains(stack, "os.(*File).Read") && (strings.Contains(stack, "port.(*Stream).read") ||
		strings.Contains(stack, ".newBench.func") || strings.Contains(stack, ".alertsTest.func"))
}
