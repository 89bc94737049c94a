package main

import (
	"context"
	"fmt"
	"runtime/debug"
	"sync"
)

// crash is a panic of one of our goroutines.
type crash struct {
	where string
	value any
	stack string
}

func (c *crash) Error() string { return fmt.Sprintf("%s: %v", c.where, c.value) }

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
		defer func() {
			if r := recover(); r != nil {
				c.cancel(&crash{where: where, value: r, stack: string(debug.Stack())})
			}
		}()
		f(c.ctx)
	})
}

// stop ends the crew and waits for it.
func (c *crew) stop() {
	c.cancel(nil)
	c.wg.Wait()
}
