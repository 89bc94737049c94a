package main

import (
	"context"
	"encoding/json"
	"os"
	"strconv"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/mqtt"
	"boildown/ui"
)

// outlet takes messages for topics below a base. It returns at once.
type outlet interface {
	Publish(name string, payload []byte, retain bool)
}

// publicist tells a broker of a batch, for a second screen, a hub, or a shop
// with several pots:
//
//	status    online or offline, which the broker itself says when we vanish
//	celsius   each good reading, corrected, a bare number
//	fault     "" or why the readings are not used
//	phase     the phase's word
//	forecast  JSON or null
//	prompt    JSON, one as it begins
//	state     all of it at once in JSON, each second
//
// All but celsius and prompt are retained.
type publicist struct {
	out    outlet
	name   string
	unit   probe.Unit
	soon   chan struct{} // something began that must not wait for the next second
	fresh  bool
	phase  plateau.Phase
	doubt  probe.Fault
	spoken func() ui.Snapshot
}

// newPublicist makes the publicist for an address such as
// mqtt://host/kitchen/pot1, and what carries its messages.
func newPublicist(address, name string, unit probe.Unit) (*publicist, *mqtt.Publisher, error) {
	broker, base, err := mqtt.ParseURL(address, os.Getenv)
	if err != nil {
		return nil, nil, usagef("write it like --publish mqtt://192.168.1.5/kitchen/pot1", "--publish: %w", err)
	}
	out, err := mqtt.NewPublisher(broker, base)
	if err != nil {
		return nil, nil, usagef("write it like --publish mqtt://192.168.1.5/kitchen/pot1", "--publish: %w", err)
	}
	if name == "" {
		name = base
	}
	p := &publicist{out: out, name: name, unit: unit, soon: make(chan struct{}, 1), fresh: true}
	return p, out, nil
}

// watch hands each step on, from the pump's goroutine.
func (p *publicist) watch(in plateau.Input, a plateau.Advice) {
	if in.Kind == plateau.Measured && a.HasC && a.Fault == probe.FaultNone {
		p.out.Publish("celsius", strconv.AppendFloat(nil, float64(a.C), 'f', 2, 64), false)
	}
	if p.fresh || a.Phase != p.phase {
		p.out.Publish("phase", []byte(a.Phase.String()), true)
	}
	if p.fresh || a.Doubt != p.doubt {
		p.out.Publish("fault", []byte(a.Doubt.String()), true)
	}
	for prompt := range a.Began.All {
		p.send("prompt", struct {
			Seconds float64 `json:"seconds"`
			rowPrompt
		}{*rounded(in.At.Seconds(), 3), rowPrompt{prompt.String(), prompt.Text(a, p.unit)}}, false)
	}
	if p.fresh || a.Phase != p.phase || a.Doubt != p.doubt || a.Began != 0 {
		select {
		case p.soon <- struct{}{}:
		default:
		}
	}
	p.fresh, p.phase, p.doubt = false, a.Phase, a.Doubt
}

func (p *publicist) send(name string, v any, retain bool) {
	b, err := json.Marshal(v)
	if err == nil { // plain structs of finite numbers always marshal
		p.out.Publish(name, b, retain)
	}
}

// stand publishes how the batch stands now.
func (p *publicist) stand(over bool) {
	s := stateOf(p.name, p.spoken(), p.unit)
	s.Over = s.Over || over
	s.Sent = time.Now().UTC().Truncate(time.Millisecond)
	p.send("forecast", s.Forecast, true)
	p.send("state", s, true)
}

// run publishes the state each second, and at once when something begins.
func (p *publicist) run(ctx context.Context) {
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
		case <-p.soon:
		}
		p.stand(false)
	}
}

// publish starts what tells the broker, and returns what ends it. The last
// word goes out when the pump has ended and before the record is closed.
func (k *kitchen) publish() (end func()) {
	if k.public == nil {
		return func() {}
	}
	k.start("publishing", k.public.run)
	line := newCrew(context.WithoutCancel(k.ctx))
	line.start("broker", func(ctx context.Context) {
		defer k.caught("broker")
		k.broker.Run(ctx, func(note string) {
			k.pump.remark(note)
			if k.term == nil && note != "" {
				k.pump.emit(ctx, probe.Event{Note: note})
			}
		})
	})
	return func() {
		defer k.caught("publishing")
		defer line.stop()
		k.public.stand(k.orderly())
	}
}
