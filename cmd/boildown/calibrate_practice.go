package main

import (
	"context"
	"math"
	"math/rand/v2"
	"sync"
	"time"

	"boildown/probe"
)

// practice is a simulated thermometer that can be put into one bath after
// another: --probe sim where no pot is cooked. It reads wrong on purpose, by
// figures of our own.
type practice struct {
	lag   time.Duration
	speed float64
	rng   *rand.Rand

	mu  sync.Mutex
	in  probe.Celsius // the bath
	tip probe.Celsius
}

// What the practice probe does.
const (
	practiceEvery = 500 * time.Millisecond
	practiceNoise = 0.05                  // K
	practiceStep  = 0.1                   // K
	practiceIce   = 0.6                   // reads so much in ice, °C
	practiceGain  = (99.1 - 0.6) / 98.312 // shown degrees a true one
	practiceRoom  = 21                    // °C
)

func newPractice(lag time.Duration, speed float64, seed uint64) *practice {
	return &practice{lag: lag, speed: speed, rng: rand.New(rand.NewPCG(seed, 7)), in: practiceRoom, tip: practiceRoom}
}

// Into puts the tip into a bath.
func (p *practice) Into(t probe.Celsius) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.in = t
}

// Run reads twice a second, of the clock's time, until ctx ends.
func (p *practice) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	emit(probe.Event{Link: probe.LinkUp})
	tick := time.NewTicker(max(time.Duration(float64(practiceEvery)/p.speed), time.Millisecond))
	defer tick.Stop()
	last := now()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
			at := now()
			c := p.read(at - last)
			last = at
			emit(probe.Event{Reading: probe.Reading{At: at, C: c}, HasReading: true})
		}
	}
}

// read follows the bath for a time and returns what the display shows.
func (p *practice) read(passed time.Duration) probe.Celsius {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.tip += (p.in - p.tip) * probe.Celsius(1-math.Exp(-passed.Seconds()/p.lag.Seconds()))
	shown := practiceIce + practiceGain*float64(p.tip) + practiceNoise*p.rng.NormFloat64()
	return probe.Celsius(math.Round(shown/practiceStep) * practiceStep)
}
