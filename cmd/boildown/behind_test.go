package main

import (
	"context"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

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
	before := openFiles()
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
	if left := leftOpen(before, ownRoutines, patience/3); left != "" {
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

// leavesNothing checks, when the test is over, that it has left no goroutine
// and no descriptor in this process. It is not for parallel tests, each of
// which would see what the others have open.
func leavesNothing(t testing.TB) {
	t.Helper()
	files, routines := openFiles(), allRoutines()
	t.Cleanup(func() {
		fresh := func() map[string]string {
			all := allRoutines()
			maps.DeleteFunc(all, func(id, _ string) bool { return routines[id] != "" })
			return all
		}
		if left := leftOpen(files, fresh, patience); left != "" {
			t.Error(left)
		}
	})
}

// leftOpen waits until no descriptors are open but those of before, and no
// goroutines are there; what is still there after the limit it returns in words.
func leftOpen(before map[string]string, routines func() map[string]string, limit time.Duration) string {
	look := time.NewTicker(5 * time.Millisecond)
	defer look.Stop()
	for late := time.After(limit); ; {
		files, stacks := openFiles(), routines()
		maps.DeleteFunc(files, func(fd, _ string) bool { return before[fd] != "" })
		if len(files)+len(stacks) == 0 {
			return ""
		}
		select {
		case <-look.C:
		case <-late:
			return fmt.Sprintf("left open: %v\nleft running: %s", files, strings.Join(slices.Sorted(maps.Values(stacks)), "\n\n"))
		}
	}
}

// openFiles are the descriptors of this process and what they lead to, none on
// a system that does not list them. Those that the runtime itself opens at the
// first use of the network or a pipe, and keeps, are left out.
func openFiles() map[string]string {
	const list = "/proc/self/fd"
	all := map[string]string{}
	dir, err := os.ReadDir(list)
	if err != nil {
		return all
	}
	for _, fd := range dir {
		to, err := os.Readlink(filepath.Join(list, fd.Name()))
		if err != nil || strings.HasPrefix(to, "anon_inode:[event") { // closed meanwhile: it was the list's own
			continue
		}
		all[fd.Name()] = to
	}
	return all
}

// allRoutines are the stacks of all other goroutines by their number.
func allRoutines() map[string]string {
	buf := make([]byte, 1<<22)
	all := map[string]string{}
	for i, stack := range strings.Split(string(buf[:runtime.Stack(buf, true)]), "\n\n") {
		id, _, _ := strings.Cut(strings.TrimPrefix(stack, "goroutine "), " ")
		if i > 0 && !strings.Contains(stack, "os/signal.loop") { // the runtime's, begun once and kept
			all[id] = stack
		}
	}
	return all
}

// ownRoutines are allRoutines of a program without those that wait for a line
// on standard input: no read of it can be taken back.
func ownRoutines() map[string]string {
	all := allRoutines()
	maps.DeleteFunc(all, func(_, stack string) bool {
		return strings.Contains(stack, "os.(*File).Read") &&
			(strings.Contains(stack, "port.(*Stream).read") || strings.Contains(stack, ".newBench.func") || strings.Contains(stack, ".alertsTest.func"))
	})
	return all
}
