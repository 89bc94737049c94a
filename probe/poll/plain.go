package poll

import (
	"context"
	"errors"
	"io"
	"net"
	"syscall"
)

// Plain says in a cook's words what ended or refused a connection; other
// errors speak for themselves.
func Plain(err error) string {
	var number syscall.Errno
	errors.As(err, &number)
	var lookup *net.DNSError
	switch {
	case err == nil:
		return ""
	case errors.As(err, &lookup):
		return "there is no " + lookup.Name + " on the network"
	case number == syscall.ECONNREFUSED, number == 10061: // WSAECONNREFUSED
		return "nothing listens there"
	case number == syscall.EHOSTUNREACH, number == syscall.ENETUNREACH, number == 10065, number == 10051:
		return "there is no way to it on the network"
	case errors.Is(err, ErrNoAnswer), errors.Is(err, context.DeadlineExceeded), isTimeout(err):
		return ErrNoAnswer.Error()
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, net.ErrClosed),
		number == syscall.ECONNRESET, number == syscall.EPIPE, number == 10054, number == 10053:
		return "the connection has ended"
	}
	return err.Error()
}
