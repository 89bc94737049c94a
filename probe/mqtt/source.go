package mqtt

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

	"boildown/probe"
)

// Back-off between attempts to reach the broker.
const (
	backMin = 250 * time.Millisecond
	backMax = time.Second
)

// Settings says what to subscribe to.
type Settings struct {
	Broker Broker
	Topic  string // one topic, no wildcard
	Format probe.Format
}

// Source reads one topic.
type Source struct{ set Settings }

// New checks s and returns the source.
func New(s Settings) (*Source, error) {
	if s.Broker.Address == "" {
		return nil, errors.New("mqtt: no broker is named: write mqtt://host/topic")
	}
	if err := checkTopic(s.Topic); err != nil {
		return nil, err
	}
	return &Source{set: s}, nil
}

// Run subscribes and reads until ctx ends; it connects again by itself.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	tell := probe.Teller{Now: now, Emit: emit}
	back := backMin
	for ctx.Err() == nil {
		err := s.once(ctx, now, emit, func() {
			tell.Up("")
			back = backMin
		})
		if ctx.Err() != nil {
			return nil
		}
		tell.Lost(s.set.Broker.note(fmt.Sprintf("read the topic %q", s.set.Topic), err))
		select {
		case <-ctx.Done():
		case <-time.After(back):
		}
		back = min(2*back, backMax)
	}
	return nil
}

// once subscribes, reads until the connection fails, and returns why.
func (s *Source) once(ctx context.Context, now func() time.Duration, emit func(probe.Event), up func()) error {
	c, err := s.set.Broker.connect(ctx, nil)
	if err != nil {
		return err
	}
	stop := context.AfterFunc(ctx, c.bye)
	defer stop()
	defer c.Close()
	if err := c.subscribe(s.set.Topic, func(message) {}); err != nil {
		return err
	}
	up()
	in := probe.Intake{
		Format: s.set.Format, Name: fmt.Sprintf("the topic %q", s.set.Topic),
		Remedy: "see that what is published there is text: a number, or JSON with a temperature",
	}
	in.Begin(now(), false)
	messages, done := make(chan message), make(chan struct{})
	receiving := probe.Send(func() error {
		return c.receive(func(m message) {
			select {
			case messages <- m:
			case <-done:
			}
		})
	})
	defer func() {
		close(done)
		c.Close() // ends the receiving
		receiving.Wait()
	}()
	tick, ping := time.NewTicker(time.Second), time.NewTicker(keepAlive/2)
	defer tick.Stop()
	defer ping.Stop()
	for {
		select {
		case <-receiving.Done():
			return receiving.Wait()
		case m := <-messages:
			if !m.Retained { // the broker's memory, of any age
				in.Feed(line(m.Payload), now(), emit)
			}
		case <-tick.C:
			in.Tick(now(), emit)
		case <-ping.C:
			if err := c.ping(); err != nil {
				return err
			}
		}
	}
}

// line makes one line of a payload, which may be JSON spread over several.
func line(payload []byte) []byte {
	s := strings.NewReplacer("\r", " ", "\n", " ").Replace(string(payload))
	return append([]byte(s), '\n')
}
