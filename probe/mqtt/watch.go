package mqtt

import (
	"context"
	"fmt"
	"time"

	"boildown/probe"
)

// Seen is a message as a watcher got it.
type Seen struct {
	Topic    string
	Payload  []byte
	Retained bool // the broker's memory, of any age
}

// Watch hands on every message of the topic base and of all topics below it,
// what the broker remembers of them first, until ctx ends. It connects again by
// itself, and calls tell when the state of the connection changes: with "" once
// it is up, with one sentence and its remedy when it is not. Each and tell are
// called from one goroutine at a time.
func Watch(ctx context.Context, b Broker, base string, each func(Seen), tell func(note string)) {
	last, back := "-", backMin
	say := func(note string) {
		if note != last {
			last = note
			tell(note)
		}
	}
	for ctx.Err() == nil {
		err := watchOnce(ctx, b, base, each, func() {
			say("")
			back = backMin
		})
		if ctx.Err() != nil {
			return
		}
		say(b.note(fmt.Sprintf("watch %q", base), err))
		select {
		case <-ctx.Done():
		case <-time.After(back):
		}
		back = min(2*back, backMax)
	}
}

func watchOnce(ctx context.Context, b Broker, base string, each func(Seen), up func()) error {
	c, err := b.connect(ctx, nil)
	if err != nil {
		return err
	}
	stop := context.AfterFunc(ctx, c.bye)
	defer stop()
	defer c.Close()
	hand := func(m message) { each(Seen(m)) }
	if err := c.subscribe(base+"/#", hand); err != nil { // its parent level is part of it (4.7.1.2)
		return err
	}
	up()
	alive := make(chan struct{})
	pinging := probe.Send(func() error {
		ping := time.NewTicker(keepAlive / 2)
		defer ping.Stop()
		for {
			select {
			case <-alive:
				return nil
			case <-ping.C:
				if c.ping() != nil {
					c.Close() // the reader below finds out why
				}
			}
		}
	})
	defer func() {
		close(alive)
		pinging.Wait()
	}()
	return c.receive(hand)
}
