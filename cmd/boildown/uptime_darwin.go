package main

import (
	"time"

	"golang.org/x/sys/unix"
)

// uptime counts the time asleep as well: this system's monotonic clock goes on
// there, unlike the one that Go's own stands on.
func uptime() time.Duration {
	var t unix.Timespec
	if err := unix.ClockGettime(unix.CLOCK_MONOTONIC, &t); err != nil {
		return time.Since(processStart)
	}
	return time.Duration(t.Nano())
}
