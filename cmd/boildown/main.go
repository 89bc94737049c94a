// Command boildown watches a pot of caramel through a probe thermometer: it
// says what phase the cook is in, forecasts when the target arrives while the
// pot still stands still, prompts for the cream, the lower heat and the pull,
// keeps every batch and replays it.
//
// The commands are one short file each. cook and replay drive the screen,
// trace is the same fold without one. Everything that touches a goroutine, a
// signal or an exit status is in this folder and nowhere below it.
package main

import (
	"context"
	"os"
)

func main() {
	if len(os.Args) > 1 && os.Args[1] == keeperWord {
		os.Exit(keep(os.Args[2:]))
	}
	os.Exit(run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
