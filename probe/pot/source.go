package pot

import (
	"context"
	"sync"
	"time"

	"boildown/probe"
)

// Source runs a pot as a probe.
type Source struct {
	Speed float64           // how much faster than life the batch's clock runs; 0 is 1
	Cook  *Cook             // does the marks by itself; nil waits for a person's
	Press func(word string) // called with every mark that Cook presses

	mu  sync.Mutex
	pot *Pot
}

// NewSource returns a source that reads the pot of cfg.
func NewSource(cfg Config) *Source { return &Source{pot: New(cfg)} }

// Run emits the probe's readings, stamped with now, until ctx ends.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	return ctx.Err()
}

// Told passes a mark of the person at the stove on to the pot, by its word in
// a session file. It may be called while Run runs.
func (s *Source) Told(word string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.pot.Told(word)
}

// Heard passes the word of a prompt on to the scripted cook.
func (s *Source) Heard(word string) {}
