package ui

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

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

// keyNames are the keys of one message by name, letters in lower case. A quick
// hand's keys come in one message when the terminal delivers them together;
// pasted text is no key at all.
func keyNames(k tea.KeyMsg) []string {
	switch {
	case k.Paste:
		return nil
	case k.Type == tea.KeySpace:
		return []string{" "}
	case k.Type != tea.KeyRunes || k.Alt:
		return []string{k.String()}
	}
	names := make([]string, len(k.Runes))
	for i, r := range k.Runes {
		names[i] = strings.ToLower(string(r))
	}
	return names
}
