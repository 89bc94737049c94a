package probetest

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"
)

// endPatience bounds the wait for what a test has begun to end.
const endPatience = 30 * time.Second

// Open is what a process had open and running at a moment.
type Open struct{ files, routines map[string]string }

// OpenNow looks at this process.
func OpenNow() Open { return Open{openFiles(), otherRoutines()} }

// Left waits until no descriptors are open and no goroutines there but those of
// o and those whose stack may be there, and returns in words what else is after
// the limit, "" for nothing. On a system that lists no descriptors there are
// none.
func (o Open) Left(limit time.Duration, may func(stack string) bool) string {
	look := time.NewTicker(5 * time.Millisecond)
	defer look.Stop()
	for late := time.After(limit); ; {
		files, routines := openFiles(), otherRoutines()
		maps.DeleteFunc(files, func(fd, _ string) bool { return o.files[fd] != "" })
		maps.DeleteFunc(routines, func(id, stack string) bool { return o.routines[id] != "" || may(stack) })
		if len(files)+len(routines) == 0 {
			return ""
		}
		select {
		case <-look.C:
		case <-late:
			return fmt.Sprintf("left open: %v\nleft running: %s", files, strings.Join(slices.Sorted(maps.Values(routines)), "\n\n"))
		}
	}
}

// LeavesNothing checks, when the test is over and all that it cleans up, that
// it has left no goroutine and no descriptor in this process. Call it first,
// and not in a parallel test, which would see what the others have open.
func LeavesNothing(t testing.TB) {
	t.Helper()
	before := OpenNow()
	t.Cleanup(func() {
		if left := before.Left(endPatience, func(string) bool { return false }); left != "" {
			t.Error(left)
		}
	})
}

// openFiles are the descriptors of this process and what they lead to. Those
// that the runtime itself opens at the first use of the network or a pipe, and
// keeps, are left out.
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

// otherRoutines are the stacks of all other goroutines by their number.
func otherRoutines() map[string]string {
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
