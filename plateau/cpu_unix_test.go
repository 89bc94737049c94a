//go:build unix

package plateau_test

import (
	"syscall"
	"time"
)

// cpuTime is what this process has spent on all cores: a busy machine does
// not bend it as it bends the clock.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
