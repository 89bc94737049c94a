package plateau_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// TestBurn_leavesTimeToAct heats dry sugar at all the rates of a kitchen, with
// quick and slow probes.
func TestBurn_leavesTimeToAct(t *testing.T) {
	for _, rate := range []float64{0.15, 0.5, 0.7, 1} { // °C/s
		for _, lag := range []time.Duration{0, 3 * time.Second, 10 * time.Second} {
			for _, every := range []float64{0.2, 1, 2} {
				for _, noise := range []float64{0.1} {
					t.Run(fmt.Sprint(rate, lag, every, noise), func(t *testing.T) {
						cfg := dipping()
						cfg.Lag = lag
						melt := func(stop float64) (warned, burnt float64) {
							k := newKitchen(cfg)
							k.watts = rate * k.heatCapacity()
							k.every, k.noise, k.offAt = every, noise, stop
							k.mark(plateau.MarkMeltStart)
							k.run(5000, func(a plateau.Advice) bool {
								if a.Began.Has(plateau.Burn) {
									warned = k.t
								}
								return k.c >= 190
							})
							return warned, k.t
						}
						warned, burnt := melt(1000)
						least := 10.0
						if rate <= 0.5 {
							least = 20
						}
						if lead := burnt - warned; warned == 0 || lead < least {
							t.Errorf("warned %.1f s before 190 °C, want %v", lead, least)
						}
						if warned, _ := melt(175); warned != 0 {
							t.Errorf("warned at %.1f s of a melt that was stopped at 175 °C", warned)
						}
					})
				}
			}
		}
	}
}

func TestAddCream_waitsForAClearMelt(t *testing.T) {
	k := newKitchen(dipping())
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 150 })
	k.mark(plateau.MarkLookClumps)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
	if n, _ := k.count(plateau.AddCream); n != 0 {
		t.Error("asked for cream while the sugar still clumps")
	}
	if a := k.mark(plateau.MarkCrystalsGone); !a.Began.Has(plateau.AddCream) {
		k.run(2, nil)
		if n, _ := k.count(plateau.AddCream); n != 1 {
			t.Errorf("add-cream began %d times once the crystals are gone at 172 °C, want once", n)
		}
	}
	for _, p := range []plateau.Prompt{plateau.Swirl, plateau.Sample} {
		var last time.Duration
		for _, r := range k.rows {
			if r.a.Began.Has(p) {
				if gap := r.at - last; last > 0 && (gap < 30*time.Second || gap > 60*time.Second) {
					t.Errorf("%v again after %v, want every 30 to 60 s", p, gap)
				}
				last = r.at
			}
		}
		if last == 0 {
			t.Errorf("%v never began", p)
		}
	}
}

func TestReading_creamMayDropItByTensOfDegrees(t *testing.T) {
	for _, marked := range []bool{true, false} {
		cfg := dipping()
		cfg.Lag = 0
		k := newKitchen(cfg)
		k.every, k.hush = 2, !marked
		k.mark(plateau.MarkMeltStart)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 174 })
		k.mark(plateau.MarkCreamStart)
		k.pending, k.pour = 300, 300 // all at once
		from := len(k.rows)
		k.run(20, nil)
		for _, r := range k.rows[from:] {
			if r.a.Fault != 0 {
				t.Errorf("marked %v: reading %.1f at %v doubted as %v", marked, r.a.C, r.at, r.a.Fault)
			}
		}
		if p := k.last().Phase; p != plateau.Cream {
			t.Errorf("marked %v: phase %v, want cream", marked, p)
		}
	}
}

// TestMelt_unevenly has clumps stay while the syrup between them colours: the
// advice turns to the wet method, and never to water in this pot.
func TestMelt_unevenly(t *testing.T) {
	for _, tc := range []struct {
		name  string
		look  plateau.Mark
		holds float64 // s at 168 °C
		want  bool
	}{
		{"clumps that stay", plateau.MarkLookClumps, 90, true},
		{"clumps just seen", plateau.MarkLookClumps, 20, false},
		{"colouring clumps that stay", plateau.MarkLookColouring, 90, true},
		{"a clear syrup", plateau.MarkLookClear, 400, false},
		{"nothing told for minutes", plateau.NoMark, 300, true},
		{"nothing told for a while", plateau.NoMark, 100, false},
	} {
		k := newKitchen(dipping())
		k.mark(plateau.MarkMeltStart)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 168 })
		k.watts = 0
		if tc.look != plateau.NoMark {
			k.mark(tc.look)
		}
		k.run(tc.holds, nil)
		a := k.last()
		if a.Uneven != tc.want {
			t.Errorf("%s: uneven is %v, want %v", tc.name, a.Uneven, tc.want)
		}
		if got := plateau.Swirl.Text(a, probe.UnitF); strings.Contains(got, "start over wet") != tc.want {
			t.Errorf("%s: says %q", tc.name, got)
		}
	}
}
