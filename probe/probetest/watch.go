package probetest

import (
	"context"
	"net"
	"testing"
	"time"

	"boildown/probe"
)

// source is what every kind of probe is to a cook.
type source interface {
	Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error
}

// Watch runs a source for so long, on a batch clock that begins now, and
// returns what it told. A source that gives up fails the test.
func Watch(t *testing.T, src source, life time.Duration) (events []probe.Event) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), life)
	defer cancel()
	start := time.Now()
	if err := src.Run(ctx, func() time.Duration { return time.Since(start) }, func(e probe.Event) { events = append(events, e) }); err != nil {
		t.Error(err)
	}
	return events
}

// FreePort returns a TCP port of this machine that nobody listens on. Without
// a network the test is skipped.
func FreePort(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Skipf("no network: %v", err)
	}
	defer l.Close()
	_, port, _ := net.SplitHostPort(l.Addr().String())
	return port
}
