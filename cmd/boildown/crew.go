package main

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
)

// crash is a panic of one of our goroutines.
type crash struct {
	where string // "" when it is not known
	value any
	stack string
}

func (c *crash) Error() string {
	if c.where == "" {
		return fmt.Sprint(c.value)
	}
	return fmt.Sprintf("%s: %v", c.where, c.value)
}

// crew is the goroutines of one cook. Each is waited for; a panic in one ends
// them all in an orderly way instead of leaving the terminal raw and the
// record open.
type crew struct {
	ctx    context.Context
	cancel context.CancelCauseFunc
	wg     sync.WaitGroup
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
		c.cancel(&crash{where: where, value: r, stack: string(debug.Stack())})
	}
}

// stop ends the crew and waits for it.
func (c *crew) stop() {
	c.cancel(nil)
	c.wg.Wait()
}
