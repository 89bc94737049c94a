package poll

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"syscall"
	"testing"
)

func TestPlain(t *testing.T) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Skipf("no network: %v", err)
	}
	address := l.Addr().String()
	l.Close()
	_, refused := net.Dial("tcp", address) // the system's own refusal
	for _, row := range []struct {
		err  error
		want string
	}{
		{nil, ""},
		{refused, "nothing listens there"},
		{&net.DNSError{Err: "no such host", Name: "bench"}, "there is no bench on the network"},
		{&net.OpError{Op: "read", Err: os.NewSyscallError("read", syscall.ECONNRESET)}, "the connection has ended"},
		{fmt.Errorf("reading: %w", io.EOF), "the connection has ended"},
		{&net.OpError{Op: "dial", Err: os.ErrDeadlineExceeded}, "it does not answer"},
		{&net.OpError{Op: "dial", Err: os.NewSyscallError("connect", syscall.EHOSTUNREACH)}, "there is no way to it on the network"},
		{errors.New("something else"), "something else"},
	} {
		if got := Plain(row.err); got != row.want {
			t.Errorf("%v: %q, want %q", row.err, got, row.want)
		}
	}
}
