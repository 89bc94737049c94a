package main

import (
	"sync"
	"time"
)

// clock is the batch clock: how long the batch has run. It stands on the
// machine's uptime, so that setting the wall clock cannot move it, and for a
// simulated pot it may run faster than life.
type clock struct {
	uptime func() time.Duration
	began  time.Duration // uptime when the clock was started
	from   time.Duration // batch time at that moment: more than 0 for a batch that goes on
	speed  float64

	mu     sync.Mutex    // guards what follows, of a clock that runs faster than life
	ticked time.Duration // uptime at the last tick
	at     time.Duration // batch time then
}

// leap is the most that a batch which runs faster than life goes on between two
// ticks, of which there is one a reading at least. A machine that has no time
// for such a batch slows it down, and tears no holes into it.
const leap = 3 * time.Second

func newClock(uptime func() time.Duration, from time.Duration, speed float64) *clock {
	began := uptime()
	return &clock{uptime: uptime, began: began, from: from, speed: speed, ticked: began, at: from}
}

// now returns the batch time. It never runs backwards.
func (c *clock) now() time.Duration {
	if c.speed <= 1 {
		return c.from + time.Duration(float64(c.uptime()-c.began)*c.speed)
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.reached(c.uptime())
}

// tick is now for the source of the readings, which thereby lets the batch go
// on.
func (c *clock) tick() time.Duration {
	if c.speed <= 1 {
		return c.now()
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	up := c.uptime()
	c.at, c.ticked = c.reached(up), up
	return c.at
}

// reached is the batch time at an uptime since the last tick, of a clock that
// runs faster than life.
func (c *clock) reached(up time.Duration) time.Duration {
	return c.at + min(time.Duration(float64(up-c.ticked)*c.speed), leap)
}

// real turns a stretch of batch time into one of life.
func (c *clock) real(d time.Duration) time.Duration {
	return time.Duration(float64(d) / c.speed)
}

// processStart holds a monotonic reading to measure from.
var processStart = time.Now()
