package ui

import "time"

// repeatGuard is how long a key must rest before it counts again. A held key
// repeats, a sticky finger bounces, and one press too many may take back a
// mark or make two.
const repeatGuard = time.Second

// keyGuard lets a key through once and then no more until it has rested.
type keyGuard struct {
	last  map[string]time.Time
	slack time.Duration // how stale the time of a press may be
}

func newKeyGuard(tick time.Duration) *keyGuard {
	return &keyGuard{last: map[string]time.Time{}, slack: tick}
}

// fresh reports whether a press counts. Presses that do not count keep the key
// from resting.
func (g *keyGuard) fresh(key string, now time.Time) bool {
	before, seen := g.last[key]
	g.last[key] = now
	return !seen || now.Sub(before) >= repeatGuard+g.slack
}
