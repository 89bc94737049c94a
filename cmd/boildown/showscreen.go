package main

import (
	"context"
	"errors"
	"fmt"
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
	var f *ui.Fault
	if !errors.As(err, &f) {
		return hinted(err, otherwise)
	}
	c := &crash{where: "screen", value: f.Value, stack: f.Stack}
	hint := "what was kept is as it was"
	if note := crashNote(dir, c); note != "" {
		hint += "; please report " + note
	}
	return hinted(fmt.Errorf("a fault in the program ended the %s: %w", what, c), hint)
}
