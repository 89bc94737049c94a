//go:build unix

package main

import (
	"errors"
	"io"
	"syscall"
)

// isClosedPipe reports whether the reader of our output has gone away.
func isClosedPipe(err error) bool {
	return errors.Is(err, syscall.EPIPE) || errors.Is(err, io.ErrClosedPipe)
}
