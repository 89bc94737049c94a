package sessions

import (
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

func TestHabitsAreTheCooks(t *testing.T) {
	var all []*Session
	var watts []float64
	for seed := range uint64(3) {
		k := newKitchen(seed)
		k.pot.Probe.Every, k.tail = time.Second, 6*time.Minute
		k.cook.Reaction = 6 * time.Second
		k.mishap = meter(&k, &watts)
		all = append(all, k.session())
	}
	h := HabitsOf(all)
	if h.Reaction.N != 3 || math.Abs(h.Reaction.Median-6) > 1.5 {
		t.Errorf("reaction %+v, want the scripted 6 s", h.Reaction)
	}
	if h.CarryOver.N != 3 || h.CarryOver.Median < 0 || h.CarryOver.Median > 2 {
		t.Errorf("carry-over %+v", h.CarryOver)
	}
	if want := median(watts); h.Power.N != 3 || math.Abs(h.Power.Median/want-1) > 0.12 {
		t.Errorf("net power %+v, the pot took %.0f W", h.Power, want)
	}
	if h := HabitsOf(nil); h != (Habits{}) {
		t.Errorf("from nothing: %+v", h)
	}
	if !(Habits{Reaction: Habit{N: 3}}).Reaction.Known() || (Habits{Reaction: Habit{N: 2}}).Reaction.Known() {
		t.Error("three batches make a habit, and no fewer")
	}
}

// meter measures what the simulated pot truly took, net, while it boiled whole
// on the heat after the cream, and adds it to watts when it is lifted.
func meter(k *kitchen, watts *[]float64) func(time.Duration, *pot.Pot, *probe.Reading) {
	var sum float64
	n, done := 0, false
	return func(_ time.Duration, p *pot.Pot, _ *probe.Reading) {
		switch {
		case done:
		case p.OnHeat() && p.Boiling() && p.JugG() == 0:
			sum += k.pot.Watts*p.Heat() - k.pot.LossWK*(float64(p.True())-k.pot.Room)
			n++
		case n > 0 && !p.OnHeat():
			*watts = append(*watts, sum/float64(n))
			done = true
		}
	}
}

// The shelf's habits are the named cook's and the named hob's alone, and no
// simulated batch has a part in them.
func TestHabitsOfOneCookAndOneHob(t *testing.T) {
	dir := t.TempDir()
	for i, who := range []struct {
		cook, hob string
		reaction  time.Duration
		watts     float64
		demo      bool
	}{
		{"Mara", "left", 3 * time.Second, 1, false},
		{"Mara", "right", 3 * time.Second, 1.3, false},
		{"Jo", "left", 9 * time.Second, 1, false},
		{"Mara", "left", 12 * time.Second, 0.5, true},
	} {
		k := newKitchen(uint64(i))
		k.pot.Probe.Every = time.Second
		k.cook.Reaction = who.reaction
		k.pot.Watts *= who.watts
		k.header.Start = k.header.Start.Add(time.Duration(i) * time.Hour)
		k.header.Cook, k.header.Hob, k.header.Demo = who.cook, who.hob, who.demo
		s := k.session()
		if _, err := Save(dir, s); err != nil {
			t.Fatal(err)
		}
	}
	entries, err := List(dir)
	if err != nil {
		t.Fatal(err)
	}
	h := HabitsOn(entries, "Mara", "left")
	if h.Reaction.N != 2 || math.Abs(h.Reaction.Median-3) > 1.5 {
		t.Errorf("Mara's reaction %+v, want 3 s from 2 batches", h.Reaction)
	}
	if h.Power.N != 2 {
		t.Errorf("the left hob's power %+v, want it from 2 batches", h.Power)
	}
	if strong := HabitsOn(entries, "Jo", "right"); strong.Power.N != 1 || strong.Power.Median < 1.2*h.Power.Median || math.Abs(strong.Reaction.Median-9) > 1.5 {
		t.Errorf("Jo at the right hob: %+v, the left one gives %+v", strong, h.Power)
	}
	if h := HabitsOn(entries, "", ""); h != (Habits{}) {
		t.Errorf("nobody's batches: %+v", h)
	}
}

// A learned figure acts on the pull only within bounds, and not from two
// batches.
func TestLearnedPullHasBounds(t *testing.T) {
	for _, tt := range []struct {
		seconds, kelvin float64
		n               int
		reaction        time.Duration
		carry           probe.Delta
		known           bool
	}{
		{4.26, 0.555, 3, 4300 * time.Millisecond, 0.56, true},
		{0.2, 0, 5, time.Second, 0, true},
		{14.9, 5.9, 12, 10 * time.Second, 5 / 1.8, true},
		{4, 0.5, 2, 4 * time.Second, 0.5, false},
	} {
		h := Habits{Reaction: Habit{Median: tt.seconds, N: tt.n}, CarryOver: Habit{Median: tt.kelvin, N: tt.n}}
		r, okR := h.PullReaction()
		c, okC := h.PullCarryOver()
		if r != tt.reaction || math.Abs(float64(c-tt.carry)) > 0.006 || okR != tt.known || okC != tt.known {
			t.Errorf("%+v: reaction %v %v, carry-over %.3f %v", tt, r, okR, float64(c), okC)
		}
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
