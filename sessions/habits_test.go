package sessions

import (
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

func TestHabitsAreTheCooks(t *testing.T) {
	var all []*Session
	for seed := range uint64(3) {
		k := newKitchen(seed)
		k.pot.Probe.Every, k.tail = time.Second, 6*time.Minute
		k.cook.Reaction = 6 * time.Second
		all = append(all, k.session())
	}
	h := HabitsOf(all)
	if h.ReactionN != 3 || math.Abs(h.Reaction.Seconds()-6) > 1.5 {
		t.Errorf("reaction %v from %d batches, want the scripted 6 s", h.Reaction, h.ReactionN)
	}
	if h.CarryOverN != 3 || h.CarryOver < 0 || h.CarryOver > 2 {
		t.Errorf("carry-over %.2f K from %d batches", h.CarryOver, h.CarryOverN)
	}
	if h := HabitsOf(nil); h != (Habits{}) {
		t.Errorf("from nothing: %+v", h)
	}
}

// A pot that cools by Newton's law with a known time constant gives it back.
func TestCoolingConstant(t *testing.T) {
	const tau = 1100.0
	c := &course{pull: 0, stall: 0}
	for i := range 600 {
		at := time.Duration(i) * time.Second
		c.points = append(c.points, point{at: at, ok: true, phase: plateau.Pulled, c: 22 + 91*probe.Celsius(math.Exp(-at.Seconds()/tau))})
		c.end = at
	}
	got, ok := c.coolingConstant()
	if !ok || math.Abs(got-tau) > 1 {
		t.Errorf("time constant %.1f s, %v, want %.0f s", got, ok, tau)
	}
}

func TestMedian(t *testing.T) {
	for _, tt := range []struct {
		in   []float64
		want float64
	}{{nil, 0}, {[]float64{3}, 3}, {[]float64{9, 1, 2}, 2}, {[]float64{4, 1, 2, 9}, 3}} {
		if got := median(tt.in); got != tt.want {
			t.Errorf("median(%v) = %g, want %g", tt.in, got, tt.want)
		}
	}
}
