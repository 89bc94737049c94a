package main

import (
	"context"
	"io"
)

// run is main with its surroundings passed in; it returns the exit status.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	return 0
}
