package plateau_test

import (
	"testing"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// TestCook_secondBatch melts sugar in the pot of a batch that is done, in the
// same session. What was told of the first holds for nothing in the second: raw
// sugar round a hot tip is no cream, a fall that lasts ends no earlier than one
// in a first batch, and cream of which nobody tells is found.
func TestCook_secondBatch(t *testing.T) {
	for _, tc := range []struct {
		name string
		c    float64 // °C of the pot with the new sugar in it
		lift bool
	}{
		{"a cold pot", 60, false},
		{"a warm pot", 85, false},
		{"a cold pot, the tip lifted out", 60, true},
	} {
		k := newKitchen(dipping())
		k.batch()
		k.run(200, nil)
		k.mix = syrup.Mix{Solutes: 400}
		k.c, k.shown, k.on, k.watts = tc.c, tc.c, true, 350
		second := len(k.rows)
		k.mark(plateau.MarkMeltStart)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 155 })
		k.mark(plateau.MarkLookClumps)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 168 })
		for _, r := range k.rows[second:] {
			if r.a.Phase != plateau.Melt || r.a.Standing.Has(plateau.Seize) || r.a.Standing.Has(plateau.AddCream) {
				t.Fatalf("%s: at %v, %.0f °C of raw sugar: phase %v, prompts %v", tc.name, r.at, r.truth, r.a.Phase, r.a.Standing)
			}
		}
		if tc.lift {
			named := false
			k.lift(30, 60, 60)
			for _, r := range k.rows[second:] {
				named = named || r.a.Fault == probe.FaultLifted
			}
			if !named {
				t.Errorf("%s: never named", tc.name)
			}
			continue
		}
		k.hush, k.pour, k.pending = true, 12, 240
		pulls, _ := k.count(plateau.PullNow)
		k.run(1500, func(plateau.Advice) bool { return k.c > 114 && k.pending == 0 && k.mix.Water < 90 })
		if after, _ := k.count(plateau.PullNow); after != pulls+1 {
			t.Errorf("%s: %d pulls after untold cream", tc.name, after-pulls)
		}
	}
}
