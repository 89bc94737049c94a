package plateau_test

import (
	"fmt"
	"iter"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe/pot"
	"boildown/syrup"
)

// jug is a creaming in the simulated pot by a cook in a hurry, who pours as
// fast as the jug gives.
type jug struct {
	pot    pot.Config
	flow   float64 // g/s
	warmed bool    // the fold is told how warm the cream is
	heeds  bool    // pours what is offered, and stops a second after hold-cream
	rough  bool    // and is slow to begin, and pours a fifth too little or a tenth too much

	heldAt, underAt float64 // s of the first hold-cream and of the floor; 0 for never
	depth           float64 // how far under the floor, K
	seized          bool
	took            float64       // s from the first cream to the last
	offers          int           // portions offered
	soonest         time.Duration // from one offer to the next
	missed          time.Duration // furthest that a wait was told wrong
	beyond          float64       // g offered over what was still to come by what the screen said
}

func (j *jug) String() string {
	return fmt.Sprintf("%.0f g sugar, %.0f g cream at %.0f °C (told %v), %.1f g/s, %.0f W, lag %v: held at %.1f s, under at %.1f s by %.1f K, took %.0f s",
		j.pot.Melt.Solutes, j.pot.Cream.Mass(), j.pot.CreamC, j.warmed, j.flow, j.pot.Watts*j.pot.Level, j.pot.Probe.Lag.Round(100*time.Millisecond),
		j.heldAt, j.underAt, j.depth, j.took)
}

// grain is how finely the cook pours, s.
const grain = 0.2

// melted returns the pot ready for cream, and the fold that has watched it.
func (j *jug) melted() (*pot.Pot, plateau.State) {
	c := j.pot
	c.PortionG, c.PortionGap = j.flow*grain, time.Duration(grain*float64(time.Second))
	p := pot.New(c)
	b := plateau.Batch{Melt: c.Melt, Cream: c.Cream, PotJK: c.PotJK}
	if j.warmed {
		b.CreamC = c.CreamC
	}
	cfg := dipping()
	cfg.Pressure, cfg.Lag, cfg.Batch = c.PressurePa, c.Probe.Lag, b
	s := plateau.Start(cfg)
	p.Told("melt-start")
	s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkMeltStart})
	for at := time.Second; p.True() < 174 || p.Look().Dry > 0; at += time.Second {
		p.Advance(at)
		s, _ = plateau.Step(s, plateau.Reading(p.Read()))
	}
	s, _ = plateau.Step(s, plateau.Input{Kind: plateau.Marked, At: p.Now(), Mark: plateau.MarkCrystalsGone})
	return p, s
}

func under(p *pot.Pot) float64 { return min(float64(p.BoilingPoint())-5, 150) - float64(p.True()) }

// run pours.
func (j *jug) run() {
	p, s := j.melted()
	start := p.Now()
	s, a := plateau.Step(s, plateau.Input{Kind: plateau.Marked, At: start, Mark: plateau.MarkCreamStart})
	may, poured, begins := a.CreamG, 0.0, start // of the portion that was offered
	pouring, held, heldSince := false, false, time.Duration(0)
	offered, spooned, wait := start, start, time.Duration(0)
	j.soonest = time.Hour
	for n := 1; p.JugG() > 0; n++ {
		at := start + time.Duration(n)*100*time.Millisecond
		before := p.JugG()
		stops := j.heeds && (held && at > heldSince+time.Second || poured >= may-0.01 || at < begins)
		switch {
		case stops && pouring:
			p.Undo("cream-start")
		case !stops && !pouring:
			p.Told("cream-start")
		}
		pouring = !stops
		p.Advance(at)
		poured += before - p.JugG()
		if d := under(p); d > 0.01 {
			j.depth = max(j.depth, d)
			if j.underAt == 0 {
				j.underAt = (at - start).Seconds()
			}
		}
		if at%time.Second == 0 {
			s, a = plateau.Step(s, plateau.Reading(p.Read()))
			if a.Began.Has(plateau.AddCream) {
				if held && j.heeds {
					j.missed = max(j.missed, (at - heldSince - wait).Abs())
				}
				j.offers++
				j.soonest, offered = min(j.soonest, at-offered), at
				j.beyond = max(j.beyond, a.CreamG-(a.CreamPlanG-a.CreamInG))
				may, poured, begins = a.CreamG, 0, at
				if j.rough {
					if may >= 20 {
						may -= math.Mod(may, 5) // as it is said: see Spoons
					}
					may *= 0.8 + 0.1*float64(j.offers*7%4)
					begins += time.Duration(500+j.offers*977%2000) * time.Millisecond
				}
			}
			if a.CreamAll && poured >= may && at-spooned > 3*time.Second { // and it is not: by the spoon
				if may = 15; p.JugG() < 20 {
					may = p.JugG() + 1 // the last of it
				}
				poured, begins, spooned = 0, at, at
			}
			if now := a.Standing.Has(plateau.HoldCream); now != held {
				held, heldSince, wait = now, at, a.CreamWait
			}
			if held && j.heldAt == 0 {
				j.heldAt = (at - start).Seconds()
			}
			j.seized = j.seized || a.Standing.Has(plateau.Seize)
		}
		if at-start > 20*time.Minute {
			j.took = 1e4
			return
		}
	}
	j.took = (p.Now() - start).Seconds()
	for range 20 { // the probe lags
		p.Advance(p.Now() + time.Second)
		s, a = plateau.Step(s, plateau.Reading(p.Read()))
		j.seized = j.seized || a.Standing.Has(plateau.Seize)
	}
}

// fastest is how long the creaming takes that knows all and pours whenever the
// floor allows it.
func (j *jug) fastest() float64 {
	p, _ := j.melted()
	start, pouring := p.Now(), false
	for p.JugG() > 0 && p.Now() < start+20*time.Minute {
		next := p.Clone()
		if !pouring {
			next.Told("cream-start")
		}
		next.Advance(p.Now() + 200*time.Millisecond)
		if pours := under(next) < -0.1; pours != pouring {
			if pouring = pours; pours {
				p.Told("cream-start")
			} else {
				p.Undo("cream-start")
			}
		}
		p.Advance(p.Now() + 200*time.Millisecond)
	}
	return (p.Now() - start).Seconds()
}

// creamings draws creamings in a hurry: jugs from a trickle to a torrent, cream
// from the refrigerator or nearly boiling, small hobs and large.
func creamings(seed uint64) iter.Seq2[int, jug] {
	rnd := rand.New(rand.NewPCG(seed, 50))
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*rnd.Float64() }
	return func(yield func(int, jug) bool) {
		for n := range 50 {
			c := pot.DefaultConfig()
			c.Melt.Solutes = within(250, 600)
			c.Cream = syrup.Cream(36.08).Mix(c.Melt.Solutes * within(0.8, 1.4))
			c.CreamC = within(5, 85)
			c.Watts = within(700, 1600)
			c.PotJK = within(350, 900)
			c.BaseJK = 0.4 * c.PotJK
			c.Probe.Lag = time.Duration(within(1, 5) * float64(time.Second))
			c.Probe.Dips, c.Seed = 0, uint64(n)
			if !yield(n, jug{pot: c, flow: within(4, 20), warmed: true}) {
				return
			}
		}
	}
}

// TestCream_heeded pours what is offered, as fast as the jug gives, and nothing
// while hold-cream stands. No pot drops under its floor, and none takes over
// 1.5 times as long as it takes one who sees everything.
func TestCream_heeded(t *testing.T) {
	t.Parallel()
	worst := 0.0
	for n, j := range creamings(4) {
		j.heeds = true
		j.run()
		ratio := j.took / j.fastest()
		if worst = max(worst, ratio); ratio > 1.5 {
			t.Errorf("%d: %v: %.2f times the fastest", n, &j, ratio)
		}
		if j.underAt > 0 {
			t.Errorf("%d: %v: dropped under the floor", n, &j)
		}
		if j.seized {
			t.Errorf("%d: %v: a false alarm of seizing", n, &j)
		}
		if j.soonest < 4*time.Second {
			t.Errorf("%d: %v: two portions offered within %v", n, &j, j.soonest)
		}
		if j.beyond > 0.1 {
			t.Errorf("%d: %v: offered %.0f g more than was still to come", n, &j, j.beyond)
		}
		if j.missed > 10*time.Second {
			t.Errorf("%d: %v: a wait told wrong by %v", n, &j, j.missed)
		}
	}
	t.Logf("at most %.2f times the fastest", worst)
}

// TestCream_heededByPeople has cooks who are slow to begin and pour roughly
// what they are told, and cooks who did not say how warm their cream is. They
// may be slower, and pouring a tenth too much may cost them some of the five
// degrees by which the floor lies under the boil.
func TestCream_heededByPeople(t *testing.T) {
	t.Parallel()
	for n, j := range creamings(5) {
		rough, untold := j, j
		rough.heeds, rough.rough = true, true
		untold.heeds, untold.warmed = true, false
		rough.run()
		untold.run()
		for _, j := range []*jug{&rough, &untold} {
			if j.depth > 1 {
				t.Errorf("%d: %v: dropped under the floor", n, j)
			}
		}
		best := j.fastest()
		if rough.took > 2*best || untold.took > 3*best {
			t.Errorf("%d: %v or %v: over 2 and 3 times the fastest, %.0f s", n, &rough, &untold, best)
		}
	}
}

// TestCream_ignored pours on, whatever the screen says.
func TestCream_ignored(t *testing.T) {
	t.Parallel()
	crossed := 0
	for n, j := range creamings(4) {
		j.run()
		if j.underAt == 0 {
			continue
		}
		crossed++
		if j.heldAt == 0 || j.heldAt > j.underAt {
			t.Errorf("%d: %v: no hold-cream before the floor", n, &j)
		}
		if !j.seized {
			t.Errorf("%d: %v: no seize", n, &j)
		}
	}
	if crossed < 20 {
		t.Errorf("only %d of 50 crossed the floor: too few to say anything", crossed)
	}
}
