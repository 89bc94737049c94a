package plateau_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
	"boildown/syrup"
)

// liftedTip is a probe that is taken out of a dry melt for a while: it falls
// towards the air over the pot by Newton's law, many times slower than it
// follows in syrup (cable makers' tables: 20 to 25 times), and comes back to
// the melt with its lag in syrup.
type liftedTip struct {
	pot    pot.Config
	marked bool
	looks  bool          // the cook says that the syrup is clear as soon as it is
	at     float64       // °C of the pot at which it is lifted
	lasts  time.Duration // how long it is out
	air    float64       // °C round the tip
	slower float64       // how many times slower it follows in air

	cream   time.Duration // taken for cream while it was out, and after
	after   time.Duration // from the tip's return to a melt again
	named   time.Duration // from the lift to a lifted or uncovered probe; -1 for never
	warned  float64       // s from the burn warning to 190 °C; 0 for none
	hottest float64       // °C of the pot at the end
}

func (l *liftedTip) String() string {
	return fmt.Sprintf("marked %v, looks %v, %v lag: lifted at %.0f °C for %v into %.0f °C, %.0f times slower",
		l.marked, l.looks, l.pot.Probe.Lag, l.at, l.lasts, l.air, l.slower)
}

func (l *liftedTip) run() {
	p := pot.New(l.pot)
	cfg := dipping()
	cfg.Pressure, cfg.Lag = l.pot.PressurePa, l.pot.Probe.Lag
	cfg.Batch = plateau.Batch{Melt: l.pot.Melt, Cream: l.pot.Cream, PotJK: l.pot.PotJK}
	s := plateau.Start(cfg)
	told := func(m plateau.Mark) {
		if l.marked {
			s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, At: p.Now(), Mark: m})
		}
	}
	p.Told("melt-start")
	told(plateau.MarkMeltStart)
	lag := l.pot.Probe.Lag.Seconds()
	tip, off := 0.0, 0.0 // °C of a tip in air; how far one that is back still lies off
	var from time.Duration = -1
	back, seen, clear := time.Duration(0), false, false
	l.named = -1
	var burnt, warned float64
	for at := time.Second; at < 40*time.Minute && float64(p.True()) < 195; at += time.Second {
		p.Advance(at)
		r := p.Read()
		if from < 0 && float64(p.True()) >= l.at {
			from, back, tip = at, at+l.lasts, float64(r.C)
		}
		switch {
		case from >= 0 && at < back:
			tip += (l.air - tip) * -math.Expm1(-1/(l.slower*lag))
			off = tip - float64(r.C)
			r.C = probe.Celsius(math.Round(tip*10) / 10)
		case off != 0:
			off *= math.Exp(-1 / lag)
			r.C = probe.Celsius(math.Round(10*(float64(r.C)+off)) / 10)
		}
		var a plateau.Advice
		s, a = plateau.Step(s, plateau.Reading(r))
		if !clear && p.Look().Dry == 0 && l.looks {
			clear = true
			told(plateau.MarkCrystalsGone)
		}
		if a.Phase == plateau.Cream {
			l.cream += time.Second
		}
		if from >= 0 && l.named < 0 && a.Fault != probe.FaultNone {
			l.named = at - from
		}
		if from >= 0 && at >= back && !seen && a.Phase == plateau.Melt && a.Fault == probe.FaultNone {
			seen, l.after = true, at-back
		}
		if a.Began.Has(plateau.Burn) && warned == 0 {
			warned = at.Seconds()
		}
		if float64(p.True()) >= 190 && burnt == 0 {
			burnt = at.Seconds()
		}
	}
	l.hottest = float64(p.True())
	if warned > 0 {
		l.warned = burnt - warned
	}
	if !seen {
		l.after = time.Hour
	}
}

// Lifts in a melt that is not ready for cream are never taken for cream; those
// in one that is, for no longer than it takes to see that the fall goes on. The
// melt goes on as soon as the tip is in it again, and is warned of burning.
func TestMelt_liftedTipIsNotCream(t *testing.T) {
	t.Parallel()
	for _, tc := range []struct{ at, most float64 }{{115, 0}, {130, 0}, {150, 0}, {162, 0}, {172, 35}, {177, 35}} {
		for _, lasts := range []time.Duration{6, 15, 40} {
			for _, air := range []float64{25, 60, 97} {
				for i, slower := range []float64{8, 20} {
					for _, lag := range []time.Duration{1, 3, 6} {
						c := pot.DefaultConfig()
						c.Probe.Lag, c.Probe.Dips, c.Seed = lag*time.Second, 0, uint64(lasts)
						l := liftedTip{pot: c, marked: (i+int(lag))%2 == 0, at: tc.at, lasts: lasts * time.Second, air: air, slower: slower}
						l.looks = l.marked
						l.run()
						if l.cream.Seconds() > tc.most {
							t.Errorf("%v: taken for cream for %v", &l, l.cream)
						}
						if l.after > 15*time.Second && l.hottest < 195 {
							t.Errorf("%v: a melt again %v after its return", &l, l.after)
						}
						if fell := (tc.at - air) * -math.Expm1(-min(lasts.Seconds(), 14)/(slower*float64(lag))); fell > 40 && l.named < 0 && tc.most == 0 {
							t.Errorf("%v: fell by %.0f K, never doubted", &l, fell)
						}
						if l.warned < 10 && (tc.at < 175 || lasts < 40) {
							t.Errorf("%v: warned %.0f s before it burns", &l, l.warned)
						}
					}
				}
			}
		}
	}
}

// Cream of which nobody tells is found all the same, and is not taken for a
// lifted tip, be it poured at once or in portions, warm or cold; where nobody
// could ask for it, some seconds later.
func TestMelt_untoldCreamIsFound(t *testing.T) {
	t.Parallel()
	for n, j := range creamings(9) {
		for _, look := range []plateau.Mark{plateau.NoMark, plateau.MarkLookClumps} {
			c := j.pot
			c.PortionG, c.PortionGap = c.Cream.Mass()/float64(1+n%7), time.Duration(20+n%11)*time.Second
			p := pot.New(c)
			cfg := dipping()
			cfg.Pressure, cfg.Lag, cfg.Batch = c.PressurePa, c.Probe.Lag, plateau.Batch{Melt: c.Melt, Cream: c.Cream, PotJK: c.PotJK, CreamC: c.CreamC}
			s := plateau.Start(cfg)
			p.Told("melt-start")
			var a plateau.Advice
			step := func() {
				p.Advance(p.Now() + time.Second)
				s, a = plateau.Step(s, plateau.Reading(p.Read()))
			}
			for p.True() < 174 || p.Look().Dry > 0 {
				step()
			}
			if look != plateau.NoMark {
				s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, At: p.Now(), Mark: look})
			}
			p.Told("cream-start")
			var fell, found time.Duration
			lifted := 0
			for range 240 {
				step()
				if fell == 0 && float64(p.True()) < 150 {
					fell = p.Now()
				}
				if found == 0 && a.Phase >= plateau.Cream {
					found = p.Now()
				}
				if found > 0 && a.Fault == probe.FaultLifted {
					lifted++
				}
			}
			most := 12 * time.Second
			if look != plateau.NoMark {
				most = 4 * time.Minute // with a probe prompt standing
			}
			if fell > 0 && (found == 0 || found-fell > most) {
				t.Errorf("%d, told %v: %.0f g of %.0f °C in %d portions: found %v after it fell", n, look, c.Cream.Mass(), c.CreamC, 1+n%7, found-fell)
			}
			if whole := n%7 == 0; lifted > 35 || lifted > 0 && !whole {
				t.Errorf("%d, told %v: %.0f g of %.0f °C in %d portions, lag %v: taken for a lifted tip for %d s", n, look, c.Cream.Mass(), c.CreamC, 1+n%7, c.Probe.Lag, lifted)
			}
		}
	}
}

// TestMelt_uncoveredFromTheStart has a tip over the sugar: the cook sees colour
// where the probe knows of none.
func TestMelt_uncoveredFromTheStart(t *testing.T) {
	for _, tc := range []struct {
		name string
		look plateau.Mark
		wet  bool
		c    float64
		want bool
	}{
		{"clear at 90 °C", plateau.MarkLookClear, false, 90, true},
		{"crystals gone at 120 °C", plateau.MarkCrystalsGone, false, 120, true},
		{"colouring at 110 °C", plateau.MarkLookColouring, false, 110, true},
		{"clumps at 110 °C", plateau.MarkLookClumps, false, 110, false},
		{"clear at 150 °C", plateau.MarkLookClear, false, 150, false},
		{"a wet melt, clear at 108 °C", plateau.MarkLookClear, true, 108, false},
	} {
		cfg := dipping()
		cfg.Batch.Melt = syrup.Mix{Solutes: 400}
		if tc.wet {
			cfg.Batch.Melt.Water = 130
		}
		k := newKitchen(cfg)
		k.mark(plateau.MarkMeltStart)
		k.run(3000, func(plateau.Advice) bool { return k.c >= tc.c })
		k.watts = 0
		k.mark(tc.look)
		k.run(10, nil)
		a := k.last()
		if got := a.Fault == probe.FaultUncovered && a.Standing.Has(plateau.ProbeFault); got != tc.want {
			t.Errorf("%s: fault %v, prompt %v; want uncovered %v", tc.name, a.Fault, a.Standing.Has(plateau.ProbeFault), tc.want)
		}
		k.shown, k.c, k.watts = 165, 165, 600
		if k.run(10, nil); k.last().Fault != probe.FaultNone {
			t.Errorf("%s: still %v when the tip is in the syrup", tc.name, k.last().Fault)
		}
	}
}

// TestBurn_creamToldButNotPoured marks the cream and goes on heating.
func TestBurn_creamToldButNotPoured(t *testing.T) {
	k := newKitchen(dipping())
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 171 })
	k.mark(plateau.MarkCreamStart)
	var warned float64
	k.run(600, func(a plateau.Advice) bool {
		if a.Began.Has(plateau.Burn) {
			warned = k.t
		}
		return k.c >= 190
	})
	if lead := k.t - warned; warned == 0 || lead < 10 {
		t.Errorf("warned %.0f s before 190 °C", lead)
	}
}
