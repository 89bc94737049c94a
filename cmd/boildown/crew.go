package main

import (
	"context"
	"sync"
)

// crew is the goroutines of one cook. Each is waited for; a panic in one ends
// them all in an orderly way instead of leaving the terminal raw and the
// record open.
type crew struct {
	ctx    context.Context
	cancel context.CancelCauseFunc
	wg     sync.WaitGroup

	mu    sync.Mutex
	first *crash // the first panic, also of a goroutine that was ending
}

func newCrew(ctx context.Context) *crew {
	c := &crew{}
	c.ctx, c.cancel = context.WithCancelCause(ctx)
	return c
}

// start runs f in a goroutine of the crew's.
func (c *crew) start(where string, f func(ctx context.Context)) {
	c.wg.Go(func() {
		defer c.caught(where)
		f(c.ctx)
	})
}

// loose runs f in a goroutine that nobody waits for, since it may be stuck in
// a write to a terminal that is gone.
func (c *crew) loose(where string, f func()) {
	go func() {
		defer c.caught(where)
		f()
	}()
}

// caught is deferred in each goroutine.
func (c *crew) caught(where string) {
	if r := recover(); r != nil {
		c.fail(crashOf(where, r))
	}
}

// fail ends the crew for a panic.
func (c *crew) fail(is *crash) {
	c.mu.Lock()
	if c.first == nil {
		c.first = is
	}
	c.mu.Unlock()
	c.cancel(is)
}

// fault returns the first panic, nil when there was none.
func (c *crew) fault() *crash {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.first
}

// stop ends the crew and waits for it.
func (c *crew) stop() {
	c.cancel(nil)
	c.wg.Wait()
}
