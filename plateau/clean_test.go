package plateau_test

import (
	"testing"

	"boildown/plateau"
	"boildown/probe"
)

// raw steps one reading half a second on, without the kitchen's probe.
func (k *kitchen) raw(c float64) plateau.Advice {
	for range 10 {
		k.physics(0.05)
	}
	k.t += 0.5
	return k.tell(plateau.Reading(probe.Reading{At: k.now(), C: probe.Celsius(c)}))
}

func TestClean_namesWhatNoPotDoes(t *testing.T) {
	for _, tc := range []struct {
		name string
		feed func(k *kitchen) plateau.Advice
		want probe.Fault
	}{
		{"a wild value up", func(k *kitchen) plateau.Advice { return k.raw(k.c + 30) }, probe.FaultSpike},
		{"a wild value down", func(k *kitchen) plateau.Advice { return k.raw(k.c - 30) }, probe.FaultSpike},
		{"a leap up that stays", func(k *kitchen) plateau.Advice { k.raw(k.c + 9); return k.raw(k.c + 9) }, probe.FaultJump},
		{"lifted into the steam", func(k *kitchen) (a plateau.Advice) {
			for i := range 8 {
				a = k.raw(k.c - 2*float64(i))
			}
			return a
		}, probe.FaultLifted},
		{"the power-on value", func(k *kitchen) plateau.Advice { return k.raw(85) }, probe.FaultPowerOn},
		{"°F taken for °C", func(k *kitchen) plateau.Advice { return k.raw(k.c*1.8 + 32) }, probe.FaultUnit},
		{"hotter than any pot", func(k *kitchen) plateau.Advice { return k.raw(700) }, probe.FaultImpossible},
		{"colder than any pot", func(k *kitchen) plateau.Advice { return k.raw(-60) }, probe.FaultImpossible},
		{"the same digits for a minute of climb", func(k *kitchen) (a plateau.Advice) {
			c := k.c
			for range 120 {
				a = k.raw(c)
			}
			return a
		}, probe.FaultFrozen},
		{"an honest reading", func(k *kitchen) plateau.Advice { return k.raw(k.shown) }, probe.FaultNone},
	} {
		t.Run(tc.name, func(t *testing.T) {
			k := climbing(dipping(), 14)
			k.every = 0.5
			k.run(20, nil)
			a := tc.feed(k)
			if a.Fault != tc.want {
				t.Fatalf("fault %q, want %q", a.Fault, tc.want)
			}
			if !a.HasC {
				t.Error("the doubted reading was not kept")
			}
			k.run(45, nil)
			if a := k.last(); a.Fault != probe.FaultNone || a.Standing.Has(plateau.ProbeFault) {
				t.Errorf("45 s of honest readings later: fault %q, probe prompt standing %v", a.Fault, a.Standing.Has(plateau.ProbeFault))
			}
		})
	}
}

// TestClean_stirringIsNoFault cools the tip by 1.5 °C for six seconds, as a
// spoon does, and asks that neither alarm nor pull move by it.
func TestClean_stirringIsNoFault(t *testing.T) {
	k := climbing(dipping(), 7)
	for i := range 12 {
		dip := 1.5
		if i < 2 || i > 9 {
			dip = 0.7
		}
		if a := k.raw(k.shown - dip); a.Fault != probe.FaultNone || a.Began.Has(plateau.ProbeFault) {
			t.Fatalf("a stirred tip was called %q", a.Fault)
		}
	}
	k.run(600, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	k.run(2, nil)
	if off := (k.c - float64(dipping().Target)) * 1.8; off < -1 || off > 1 {
		t.Errorf("pulled %+.2f °F off the target after a stirring", off)
	}
}

// TestClean_wildToBothSides throws two wild readings at a melt, one on each side
// of it: two doubts that do not bear each other out.
func TestClean_wildToBothSides(t *testing.T) {
	for _, wild := range [][2]float64{{-40, 60}, {60, -60}, {-60, 45}} {
		k := newKitchen(dipping())
		k.every = 0.5
		k.run(3000, func(plateau.Advice) bool { return k.c >= 126 })
		k.t = float64(int(k.t)) + 1 // on a reading's moment
		for _, away := range wild {
			if a := k.raw(k.shown + away); a.Fault == probe.FaultNone || a.Began != 0 && !a.Began.Has(plateau.ProbeFault) {
				t.Errorf("%v: %.0f °C away is taken for the melt: fault %q, prompts %b", wild, away, a.Fault, a.Began)
			}
		}
		k.run(20, nil)
		if a := k.last(); a.Phase != plateau.Melt || a.Fault != probe.FaultNone {
			t.Errorf("%v: then it is %v, fault %q", wild, a.Phase, a.Fault)
		}
	}
}
