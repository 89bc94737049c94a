package pot

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"boildown/probe"
)

func TestSourceRunsAWholeBatchByItself(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		now := func() time.Duration { return 20 * time.Since(start) }
		s := NewSource(DefaultConfig())
		s.Speed, s.Cook = 20, NewCook()
		var pressed []string
		s.Press = func(w string) { pressed = append(pressed, w) }
		var last time.Duration
		readings := 0
		err := s.Run(t.Context(), now, func(e probe.Event) {
			if !e.HasReading {
				return
			}
			if d := e.Reading.At - last; readings > 0 && (d < 900*time.Millisecond || d > 1100*time.Millisecond) {
				t.Errorf("%v from one reading to the next", d)
			}
			last = e.Reading.At
			readings++
		})
		if err != nil {
			t.Fatal(err)
		}
		want := []string{"melt-start", "crystals-gone", "cream-start", "cream-end", "heat-down", "pull", "dip"}
		i := 0
		for _, w := range pressed {
			if i < len(want) && w == want[i] {
				i++
			}
		}
		if i != len(want) {
			t.Errorf("pressed %v, want %v among them", pressed, want)
		}
		if last < 15*time.Minute || last > 40*time.Minute {
			t.Errorf("the batch took %v", last)
		}
	})
}

func TestSourceWaitsForThePersonAndObeys(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		now := func() time.Duration { return time.Since(start) }
		s := NewSource(DefaultConfig())
		ctx, cancel := context.WithCancel(t.Context())
		var last probe.Reading
		done := make(chan error)
		go func() {
			done <- s.Run(ctx, now, func(e probe.Event) {
				if e.HasReading {
					last = e.Reading
				}
			})
		}()
		time.Sleep(5 * time.Minute)
		synctest.Wait()
		if last.C > 23 {
			t.Errorf("nobody has lit the hob and the pot is at %v °C", last.C)
		}
		s.Told("melt-start")
		time.Sleep(2 * time.Minute)
		synctest.Wait()
		if last.C < 60 {
			t.Errorf("two minutes on the heat and the pot is at %v °C", last.C)
		}
		cancel()
		if err := <-done; err != nil {
			t.Errorf("a source that is stopped returned %v", err)
		}
	})
}

func TestTakingOverSendsTheCookAway(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		start := time.Now()
		s := NewSource(DefaultConfig())
		s.Cook = NewCook()
		pressed := 0
		s.Press = func(string) { pressed++ }
		ctx, cancel := context.WithTimeout(t.Context(), 20*time.Minute)
		defer cancel()
		go func() {
			time.Sleep(time.Minute)
			s.TakeOver()
		}()
		if err := s.Run(ctx, func() time.Duration { return time.Since(start) }, func(probe.Event) {}); err != nil {
			t.Fatal(err)
		}
		if pressed > 2 {
			t.Errorf("the cook pressed %d marks after being sent away", pressed)
		}
	})
}

// A cook who hears the pull prompt pulls two seconds later, before the display
// shows the target.
func TestCookPullsWhenTold(t *testing.T) {
	cfg := DefaultConfig()
	p, c := New(cfg), NewCook()
	var toldAt, pulledAt time.Duration
	for at := time.Duration(0); pulledAt == 0 && at < time.Hour; at += time.Second {
		p.Advance(at)
		w := c.Watch(at, p.Read(), p.Look())
		if w != "" {
			p.Told(w)
		}
		if toldAt == 0 && p.Boiling() && p.True().F() > 232 && p.JugG() == 0 {
			toldAt = at
			c.Hear("pull")
		}
		if w == "pull" {
			pulledAt = at
		}
	}
	if d := pulledAt - toldAt; d < 2*time.Second || d > 4*time.Second {
		t.Errorf("told at %v, pulled at %v", toldAt, pulledAt)
	}
}
