package main

import (
	"context"
	"os/signal"

	"boildown/ui"
)

// showScreen runs a screen over kept batches until the person leaves it or a
// signal ends it. what names it in a message, dir takes a crash note, and
// otherwise is what to do where no screen can be shown.
func showScreen(ctx context.Context, screen *ui.Program, what, dir, otherwise string) error {
	ctx, stop := signal.NotifyContext(ctx, endingSignals...)
	defer stop()
	defer context.AfterFunc(ctx, screen.Quit)()
	err := screen.Run()
	if c := screenCrash(err); c != nil {
		return c.ended(what, dir, "what was kept is as it was", "; please report ")
	}
	return hinted(err, otherwise)
}
