package probetest

import (
	"context"
	"fmt"
	"sync"
	"time"

	"boildown/probe"
)

// Step is one thing that a [Playback] does.
type Step struct {
	At    time.Duration // on the batch clock
	Event probe.Event   // its Reading.At is set to the clock when it is played
}

// Playback is a source that plays back events. Its Run returns an error when
// ctx ends with steps left over, so that a test cannot pass by stopping early.
type Playback struct {
	Steps []Step

	mu     sync.Mutex
	played int
}

// Readings makes the steps of one good reading every interval, the first at
// one interval.
func Readings(every time.Duration, temps ...probe.Celsius) []Step {
	var steps []Step
	for i, c := range temps {
		steps = append(steps, Step{
			At:    time.Duration(i+1) * every,
			Event: probe.Event{Reading: probe.Reading{C: c}, HasReading: true, Raw: fmt.Sprintf("%.2f", float64(c))},
		})
	}
	return steps
}

// Run plays the steps, each no earlier than its At on the clock now, then
// waits for ctx to end. It sleeps in between, so that under testing/synctest a
// whole batch takes no time.
func (p *Playback) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	for {
		left := p.Left()
		if len(left) == 0 {
			<-ctx.Done()
			return nil
		}
		next := left[0]
		for wait := next.At - now(); wait > 0; wait = next.At - now() {
			select {
			case <-ctx.Done():
				return fmt.Errorf("probetest: stopped with %d of %d steps left, the next one due at %v", len(left), len(p.Steps), next.At)
			case <-time.After(max(wait/100, time.Millisecond)): // the clock may run faster than life
			}
		}
		if ctx.Err() != nil {
			return fmt.Errorf("probetest: stopped with %d of %d steps left, the next one due at %v", len(left), len(p.Steps), next.At)
		}
		e := next.Event
		if e.HasReading {
			e.Reading.At = now()
		}
		p.mu.Lock()
		p.played++
		p.mu.Unlock()
		emit(e)
	}
}

// Left returns the steps not yet played.
func (p *Playback) Left() []Step {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.Steps[p.played:]
}
