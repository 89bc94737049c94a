package pot

import (
	"context"
	"sync"
	"time"

	"boildown/probe"
)

// Source runs a pot as a probe. Set its fields before Run.
type Source struct {
	Speed float64           // how much faster than life the batch's clock runs; 0 is 1
	Cook  *Cook             // presses the marks by itself; nil waits for a person's
	Press func(word string) // told of every mark that Cook presses, from Run's goroutine

	mu   sync.Mutex
	pot  *Pot
	hand *Hand
	cook *Cook // Cook until a person takes over
}

// NewSource returns a source that reads the pot of cfg.
func NewSource(cfg Config) *Source {
	p := New(cfg)
	return &Source{pot: p, hand: NewHand(p)}
}

// afterDone is how long a batch runs on when its scripted cook is finished.
const afterDone = 2 * time.Minute

// Run emits the probe's readings, stamped with now, until ctx ends. With a
// scripted cook it also ends by itself, two minutes after the cook is done.
// It returns nil in both cases.
func (s *Source) Run(ctx context.Context, now func() time.Duration, emit func(probe.Event)) error {
	s.mu.Lock()
	s.cook = s.Cook
	s.mu.Unlock()
	emit(probe.Event{Link: probe.LinkUp, Note: "Simulated pot: an invented batch."})
	begin := now()
	due := begin
	for {
		if err := s.sleep(ctx, due-now()); err != nil {
			return nil
		}
		at := now()
		if at < due {
			continue
		}
		due += s.pot.cfg.Probe.Every
		if due < at {
			due = at // after a standstill, go on from here and don't make up
		}
		ev, pressed, over := s.look(at, at-begin)
		emit(ev)
		if pressed != "" && s.Press != nil {
			s.Press(pressed)
		}
		if over {
			return nil
		}
	}
}

// sleep waits for d of the batch's time.
func (s *Source) sleep(ctx context.Context, d time.Duration) error {
	speed := s.Speed
	if speed <= 0 {
		speed = 1
	}
	t := time.NewTimer(max(time.Duration(float64(d)/speed), 0))
	defer t.Stop()
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-t.C:
		return nil
	}
}

// look reads the probe once and lets the scripted cook act on it.
func (s *Source) look(at, run time.Duration) (ev probe.Event, pressed string, over bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hand.Move()
	s.pot.Advance(run)
	r := s.pot.Read()
	r.At = at
	ev = probe.Event{Reading: r, HasReading: true}
	if s.cook != nil {
		pressed = s.cook.Watch(run, r, s.pot.Look())
		if pressed != "" {
			s.hand.Told(pressed)
		}
		over = s.cook.Done() && run > s.cook.doneAt+afterDone
	}
	return ev, pressed, over
}

// Told passes a mark of the person at the stove on to the pot, by its word in
// a session file. It may be called while Run runs.
func (s *Source) Told(word string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hand.Told(word)
}

// Undo takes the mark back as far as a pot can. It may be called while Run
// runs.
func (s *Source) Undo(word string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hand.Undo(word)
}

// Heard passes the word of a prompt on to the scripted cook and to the hand
// that pours, with how much cream can go in by it, g. It may be called while
// Run runs.
func (s *Source) Heard(word string, grams float64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.hand.Heard(word, grams)
	if s.cook != nil {
		s.cook.Hear(word)
	}
}

// TakeOver sends the scripted cook away: from here on the pot obeys the person
// alone. It may be called while Run runs.
func (s *Source) TakeOver() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.cook = nil
}
