//go:build unix

package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"boildown/plateau"
)

// endingSignals are those that end a screen in order: a closed window, a kill,
// an interrupt from elsewhere.
var endingSignals = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT}

// signals makes the system's signals end or suspend the cook in order, and
// returns what undoes that. A closed window, a kill and a broken pipe all
// leave a record that can be continued.
func (k *kitchen) signals() (stop func()) {
	ends := make(chan os.Signal, 4)
	signal.Notify(ends, endingSignals...)
	signal.Ignore(syscall.SIGPIPE) // a write says EPIPE instead
	suspends := make(chan os.Signal, 1)
	if k.screen != nil { // plain lines leave no terminal to put right
		signal.Notify(suspends, syscall.SIGTSTP)
	}
	k.start("signals", func(ctx context.Context) {
		for {
			select {
			case <-ctx.Done():
				return
			case s := <-ends:
				k.cancel(signalled{s})
			case <-suspends:
				k.suspend()
			}
		}
	})
	return func() {
		signal.Stop(ends)
		signal.Stop(suspends)
		signal.Reset(syscall.SIGPIPE)
	}
}

// suspend gives the terminal back, stops the process and, when it goes on,
// tells the fold that nobody listened for a while.
func (k *kitchen) suspend() {
	_ = k.screen.Suspend(func() {
		fmt.Fprintln(k.term.out, "boildown is stopped: nothing watches the pot now. fg goes on.")
		on := make(chan os.Signal, 1)
		signal.Notify(on, syscall.SIGCONT)
		defer signal.Stop(on)
		if syscall.Kill(os.Getpid(), syscall.SIGSTOP) != nil {
			return
		}
		select {
		case <-on:
		case <-time.After(time.Second): // the stop was not for us to take
		}
	})
	k.pump.Tell(plateau.Input{Kind: plateau.Resumed})
}
