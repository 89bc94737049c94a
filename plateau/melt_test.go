package plateau_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
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

// TestCream_toldLate has half of the cream poured before anybody tells of it:
// the account makes up for it, and says to wait before it offers more.
func TestCream_toldLate(t *testing.T) {
	for _, ago := range []time.Duration{0, 12 * time.Second} {
		cfg := dipping()
		cfg.Batch = plateau.Batch{Melt: syrup.Mix{Solutes: 400}, Cream: syrup.Cream(36.1).Mix(480), PotJK: 500, CreamC: 5}
		k := newKitchen(cfg)
		k.creamC = 5
		k.mark(plateau.MarkMeltStart)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 150 })
		k.mark(plateau.MarkLookClumps)
		k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
		k.pending, k.pour = 330, 30
		k.run(12, nil)
		a := k.tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkCreamStart, Ago: ago})
		if !a.Began.Has(plateau.HoldCream) || a.Began.Has(plateau.AddCream) {
			t.Errorf("told %v late, with 330 g in and the pot at %.0f °C: hold %v, add %v", ago, k.c, a.Began.Has(plateau.HoldCream), a.Began.Has(plateau.AddCream))
		}
		if off := a.CreamInG - 330; math.Abs(off) > 0.25*330 {
			t.Errorf("told %v late: %.0f g in by the account, want some 330", ago, a.CreamInG)
		}
	}
}

// TestCream_allIn pours all of it: the screen offers nothing more, and asks.
func TestCream_allIn(t *testing.T) {
	cfg := dipping()
	cfg.Batch = plateau.Batch{Melt: syrup.Mix{Solutes: 400}, Cream: syrup.Cream(36.1).Mix(480), PotJK: 500, CreamC: 60}
	k := newKitchen(cfg)
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
	k.mark(plateau.MarkCrystalsGone)
	k.pour = 8
	k.mark(plateau.MarkCreamStart)
	left, asked := 480.0, false
	k.run(600, func(a plateau.Advice) bool {
		if a.Began.Has(plateau.AddCream) && !a.CreamAll {
			g := min(a.CreamG, left)
			k.pending, left = g, left-g
		}
		asked = asked || a.CreamAll && a.Began.Has(plateau.AddCream)
		return asked
	})
	a := k.last()
	if text := plateau.AddCream.Text(a, probe.UnitF); !asked || a.CreamG != 0 || !strings.Contains(text, "Mark the last cream") {
		t.Errorf("all asked for: %v, offered %.0f g, %.0f of %.0f g in: %q", asked, a.CreamG, a.CreamInG, a.CreamPlanG, text)
	}
	if left > 40 {
		t.Errorf("asked with %.0f g still in the jug", left)
	}
	from := len(k.rows)
	k.run(10, nil)
	for _, r := range k.rows[from:] {
		if r.a.Began.Has(plateau.AddCream) {
			t.Errorf("asked again at %v", r.at)
		}
	}
}
