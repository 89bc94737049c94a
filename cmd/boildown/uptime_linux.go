package main

import (
	"time"

	"golang.org/x/sys/unix"
)

// uptime counts the time asleep as well: the pot kept boiling while the
// machine slept, and Go's own monotonic clock stands still there.
func uptime() time.Duration {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_BOOTTIME, &t); err != nil {
		return time.Since(processStart)
	}
	return time.Duration(t.Nano())
}
