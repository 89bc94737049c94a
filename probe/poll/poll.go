// Package poll is the loop that the sources share which must ask for each
// reading: open, ask, wait, ask again, and after a failure open again.
package poll

import (
	"context"
	"time"

	"boildown/probe"
)

// Times used when a [Loop] gives none.
const (
	DefaultEvery = 500 * time.Millisecond
	backMin      = 250 * time.Millisecond
	backMax      = time.Second // so that a probe plugged in again is back within 2 s
)

// Answer is what one question brought.
type Answer struct {
	C     probe.Celsius
	Fault probe.Fault
	Raw   string // as it came, "" if that is nothing to show
}

// Conn is an open way to an instrument.
type Conn interface {
	// Ask gets one reading. An error means that the way is broken: the loop
	// closes it and opens another.
	Ask(ctx context.Context) (Answer, error)
	Close() error
}

// Loop asks an instrument again and again.
type Loop struct {
	Every time.Duration                           // from one question to the next; 0 for DefaultEvery
	Open  func(ctx context.Context) (Conn, error) // as often as needed
	Note  func(error) string                      // an error as one sentence with its remedy
	Hello string                                  // said when the link first comes up, "" for nothing
}

// Run asks until ctx ends, and returns nil then.
func (l Loop) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	tell := probe.Teller{Now: now, Emit: emit}
	back := backMin
	for ctx.Err() == nil {
		conn, err := l.Open(ctx)
		if err == nil {
			err = l.ask(ctx, conn, now, emit, func() {
				// Only an answer shows that the right thing is at the other end.
				tell.Up(l.Hello)
				l.Hello = ""
				back = backMin
			})
		}
		if ctx.Err() != nil {
			return nil
		}
		tell.Lost(l.Note(err))
		pause(ctx, back)
		back = min(2*back, backMax)
	}
	return nil
}

// ask asks until the way breaks, and calls up before it hands on the first
// answer.
func (l Loop) ask(ctx context.Context, conn Conn, now func() time.Duration, emit func(probe.Event), up func()) error {
	defer conn.Close()
	every := l.Every
	if every == 0 {
		every = DefaultEvery
	}
	var power probe.PowerOnWatch
	next := time.Now()
	for ctx.Err() == nil {
		a, err := conn.Ask(ctx)
		if err != nil {
			return err
		}
		if up != nil {
			up()
			up = nil
		}
		if a.Fault == probe.FaultNone {
			a.Fault = power.Check(a.C)
		}
		emit(probe.Event{
			Reading: probe.Reading{At: now(), C: a.C, Fault: a.Fault}, HasReading: true,
			Raw: probe.Printable(a.Raw),
		})
		// From start to start, so that a slow instrument sets its own pace and
		// never gets two questions at once.
		next = next.Add(every)
		if late := time.Since(next); late > 0 {
			next = time.Now()
		}
		pause(ctx, time.Until(next))
	}
	return ctx.Err()
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}
