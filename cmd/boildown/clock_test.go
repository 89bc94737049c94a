package main

import (
	"testing"
	"time"
)

func TestClock(t *testing.T) {
	up := 5 * time.Hour
	c := newClock(func() time.Duration { return up }, 90*time.Second, 20)
	if got := c.now(); got != 90*time.Second {
		t.Errorf("starts at %v, want where the earlier part ended: 90s", got)
	}
	for range 60 {
		up += 50 * time.Millisecond
		if c.now() != c.tick() {
			t.Fatal("a tick changes the time")
		}
	}
	if got := c.now(); got != 150*time.Second {
		t.Errorf("after 3 s at 20 times life: %v, want 150s", got)
	}
	up += time.Minute
	c.now()
	if got := c.now(); got != 150*time.Second+leap {
		t.Errorf("after a minute in which the machine did nothing: %v, want %v", got, 150*time.Second+leap)
	}
	if got := c.real(time.Minute); got != 3*time.Second {
		t.Errorf("a minute of the batch takes %v, want 3s", got)
	}
}

// The uptime that stamps readings must not go backwards, nor stand still.
func TestUptimeRuns(t *testing.T) {
	a := uptime()
	for range 1000 {
		if b := uptime(); b < a {
			t.Fatalf("uptime went from %v to %v", a, b)
		} else {
			a = b
		}
	}
	if b := uptime(); b <= 0 {
		t.Errorf("uptime is %v", b)
	}
}
