package main

import "time"

// clock is the batch clock: how long the batch has run. It stands on the
// machine's uptime, so that setting the wall clock cannot move it, and for a
// simulated pot it may run faster than life.
type clock struct {
	uptime func() time.Duration
	began  time.Duration // uptime when the clock was started
	from   time.Duration // batch time at that moment: more than 0 for a batch that goes on
	speed  float64
}

func newClock(uptime func() time.Duration, from time.Duration, speed float64) *clock {
	return &clock{uptime: uptime, began: uptime(), from: from, speed: speed}
}

// now returns the batch time. It never runs backwards.
func (c *clock) now() time.Duration {
	return c.from + time.Duration(float64(c.uptime()-c.began)*c.speed)
}

// real turns a stretch of batch time into one of life.
func (c *clock) real(d time.Duration) time.Duration {
	return time.Duration(float64(d) / c.speed)
}

// processStart holds a monotonic reading to measure from.
var processStart = time.Now()
