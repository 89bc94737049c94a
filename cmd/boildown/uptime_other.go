//go:build !linux && !darwin

package main

import "time"

// uptime is Go's monotonic clock. Whether it counts the time asleep is up to
// the system.
func uptime() time.Duration { return time.Since(processStart) }
