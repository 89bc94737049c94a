package mqtt

import (
	"context"
	"errors"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"

	"boildown/probe"
)

// What stands in the topic base/status: the first while a batch is watched,
// the second once it is not, also when this program or its machine died, for
// then the broker says it.
const (
	Online  = "online"
	Offline = "offline"
)

// queueMax bounds the messages that wait for a broker.
const queueMax = 256

// Publisher hands messages on to a broker, under one base topic, without ever
// holding up whoever has them. It keeps the last retained message of each
// topic, so that a broker that comes back learns the state at once.
type Publisher struct {
	broker Broker
	base   string

	mu       sync.Mutex
	queue    []message // waiting, none of them retained
	retained map[string][]byte
	changed  map[string]bool // retained topics that the broker does not know yet
	lost     int
	wake     chan struct{}
}

// NewPublisher checks its arguments and returns the publisher. Base is the
// topic that all others lie under, such as "kitchen/pot1".
func NewPublisher(b Broker, base string) (*Publisher, error) {
	if b.Address == "" {
		return nil, errors.New("mqtt: no broker is named: write mqtt://host/topic")
	}
	base = strings.Trim(base, "/")
	if err := checkTopic(base); err != nil {
		return nil, err
	}
	return &Publisher{broker: b, base: base, retained: map[string][]byte{}, changed: map[string]bool{}, wake: make(chan struct{}, 1)}, nil
}

// Publish hands over one message for the topic base/name. It returns at once;
// while the broker is away the oldest messages are dropped, but for retained
// ones the last of each topic is kept.
func (p *Publisher) Publish(name string, payload []byte, retain bool) {
	topic := p.base + "/" + name
	payload = slices.Clone(payload)
	p.mu.Lock()
	if retain {
		p.retained[topic], p.changed[topic] = payload, true
	} else {
		if len(p.queue) == queueMax {
			p.queue = p.queue[1:]
			p.lost++
		}
		p.queue = append(p.queue, message{Topic: topic, Payload: payload})
	}
	p.mu.Unlock()
	select {
	case p.wake <- struct{}{}:
	default:
	}
}

// Lost returns how many messages were dropped.
func (p *Publisher) Lost() int {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.lost
}

// Run publishes until ctx ends, then says [Offline] and returns. It connects
// again by itself, and calls tell when the state of the connection changes:
// with "" once it is up, with one sentence and its remedy when it is not.
func (p *Publisher) Run(ctx context.Context, tell func(note string)) {
	last, back := "-", backMin
	say := func(note string) {
		if note != last {
			last = note
			tell(note)
		}
	}
	for ctx.Err() == nil {
		err := p.once(ctx, func() {
			say("")
			back = backMin
		})
		if ctx.Err() != nil {
			return
		}
		say(p.broker.note("publish", err))
		select {
		case <-ctx.Done():
		case <-time.After(back):
		}
		back = min(2*back, backMax)
	}
}

func (p *Publisher) once(ctx context.Context, up func()) error {
	status := p.base + "/status"
	c, err := p.broker.connect(ctx, &message{Topic: status, Payload: []byte(Offline)})
	if err != nil {
		return err
	}
	receiving := probe.Send(func() error { return c.receive(func(message) {}) })
	defer func() {
		c.Close() // ends the receiving
		receiving.Wait()
	}()
	p.remember(status, Online)
	up()
	ping := time.NewTicker(keepAlive / 2)
	defer ping.Stop()
	for {
		for _, m := range p.take() {
			if err := c.send(publishPacket(c.level, m)); err != nil {
				return err
			}
		}
		select {
		case <-ctx.Done():
			c.leaving()
			for _, m := range append(p.take(), message{status, []byte(Offline), true}) {
				if c.send(publishPacket(c.level, m)) != nil {
					break
				}
			}
			c.bye()
			return nil
		case <-receiving.Done():
			return receiving.Wait()
		case <-p.wake:
		case <-ping.C:
			if err := c.ping(); err != nil {
				return err
			}
		}
	}
}

// remember makes every retained message due again: a broker may have been
// restarted since it heard them.
func (p *Publisher) remember(status, payload string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.retained[status] = []byte(payload)
	for topic := range p.retained {
		p.changed[topic] = true
	}
}

// take returns what is due, the state first.
func (p *Publisher) take() (due []message) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, topic := range slices.Sorted(maps.Keys(p.changed)) {
		due = append(due, message{Topic: topic, Payload: p.retained[topic], Retained: true})
	}
	clear(p.changed)
	due = append(due, p.queue...)
	p.queue = nil
	return due
}
