//go:build !unix

package main

import (
	"context"
	"os"
	"os/signal"
)

// endingSignals are those that end a screen in order.
var endingSignals = []os.Signal{os.Interrupt}

// signals makes an interrupt end the cook in order, and returns what undoes
// that.
func (k *kitchen) signals() (stop func()) {
	ends := make(chan os.Signal, 2)
	signal.Notify(ends, endingSignals...)
	k.start("signals", func(ctx context.Context) {
		select {
		case <-ctx.Done():
		case s := <-ends:
			k.cancel(signalled{s})
		}
	})
	return func() { signal.Stop(ends) }
}
