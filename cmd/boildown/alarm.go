package main

import (
	"context"
	"sync"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// rank is how hard a prompt must try to be heard.
type rank uint8

const (
	shown rank = iota // on the screen alone
	told              // once by bell, notification and the user's command
	alarm             // told, and told again until it is acknowledged or over
)

// rankOf ranks each prompt. What comes every half minute while a cook looks at
// the pot anyway makes no noise, or the noise that matters is not heard.
func rankOf(p plateau.Prompt) rank {
	switch p {
	case plateau.PullNow, plateau.PastTarget, plateau.Burn, plateau.Scorch, plateau.ProbeFault:
		return alarm
	case plateau.Swirl, plateau.Sample, plateau.Stalled, plateau.Stir:
		return shown
	}
	return told
}

// repeats reports whether p sounds again while it stands. A doubtful probe is
// told once: it may stay so for the rest of the batch.
func repeats(p plateau.Prompt) bool { return rankOf(p) == alarm && p != plateau.ProbeFault }

// repeatEvery is the pause between two soundings of a standing alarm, in life
// however fast the batch runs.
const repeatEvery = 2 * time.Second

// notice is one prompt on its way to a person.
type notice struct {
	prompt plateau.Prompt
	text   string
	advice plateau.Advice
	again  bool // a repeat of what has sounded before
}

// sounder is one way to reach a person. It must not block for long; what can
// block runs in a goroutine of its own.
type sounder interface {
	sound(n notice)
}

// ringer sounds what the pump hears, on its own goroutine.
type ringer struct {
	unit     probe.Unit
	sounders []sounder

	mu    sync.Mutex
	queue []notice       // begun and not sounded
	stand plateau.Advice // what stands now
	quiet bool
	wake  chan struct{}
}

func newRinger(unit probe.Unit, sounders ...sounder) *ringer {
	return &ringer{unit: unit, sounders: sounders, wake: make(chan struct{}, 1)}
}

// watch is the ringer's [watcher].
func (r *ringer) watch(_ plateau.Input, a plateau.Advice) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.stand = a
	for p := range a.Began.All {
		if rankOf(p) > shown && len(r.queue) < 32 {
			r.queue = append(r.queue, notice{prompt: p, text: p.Text(a, r.unit), advice: a})
		}
	}
	if len(r.queue) > 0 {
		select {
		case r.wake <- struct{}{}:
		default:
		}
	}
}

// setQuiet turns all sounding off and on again.
func (r *ringer) setQuiet(quiet bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.quiet = quiet
}

// run sounds until ctx ends.
func (r *ringer) run(ctx context.Context) {
	tick := time.NewTicker(repeatEvery)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-r.wake:
			for _, n := range r.take() {
				r.sound(n)
			}
		case <-tick.C:
			if n, ok := r.standing(); ok {
				r.sound(n)
			}
		}
	}
}

func (r *ringer) sound(n notice) {
	for _, s := range r.sounders {
		s.sound(n)
	}
}

// take returns what is to be sounded for the first time.
func (r *ringer) take() []notice {
	r.mu.Lock()
	defer r.mu.Unlock()
	queue := r.queue
	r.queue = nil
	if r.quiet {
		return nil
	}
	return queue
}

// standing returns the gravest alarm that stands and was not acknowledged.
func (r *ringer) standing() (notice, bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.quiet {
		return notice{}, false
	}
	loud := r.stand.Standing &^ r.stand.Quiet
	for _, p := range []plateau.Prompt{plateau.Scorch, plateau.PastTarget, plateau.PullNow, plateau.Burn} {
		if loud.Has(p) && repeats(p) {
			return notice{prompt: p, text: p.Text(r.stand, r.unit), advice: r.stand, again: true}, true
		}
	}
	return notice{}, false
}
