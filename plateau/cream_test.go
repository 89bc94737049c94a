package plateau_test

import (
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/syrup"
)

// pouring is one creaming of a hurried cook.
type pouring struct {
	cfg     plateau.Config
	watts   float64
	creamC  float64
	flow    float64 // g/s
	creamG  float64
	melt    float64 // g
	obeys   bool
	under   bool    // the pot dropped under its floor
	depth   float64 // and by how much, K
	heldAt  float64 // s of the first hold-cream, 0 for never
	underAt float64 // s when the pot first was under its floor
	seized  bool    // seize was raised
	took    float64 // s from the first cream to the last
}

func (p pouring) String() string {
	return fmt.Sprintf("%.0f g sugar, %.0f g cream at %.0f °C, %.1f g/s, %.0f W, lag %v: held at %.1f s, under at %.1f s by %.1f K",
		p.melt, p.creamG, p.creamC, p.flow, p.watts, p.cfg.Lag.Round(time.Millisecond), p.heldAt, p.underAt, p.depth)
}

// run pours: a cook who obeys stops while hold-cream stands, a second late.
func (p *pouring) run() {
	k := newKitchen(p.cfg)
	k.mix.Solutes, k.watts, k.creamC = p.melt, p.watts, p.creamC
	k.mark(plateau.MarkMeltStart)
	k.run(4000, func(plateau.Advice) bool { return k.c >= 172 })
	k.mark(plateau.MarkCreamStart)
	start, left, holdSince := k.t, p.creamG, 0.0
	for left > 0 && k.t < start+1500 {
		held := k.last().Standing.Has(plateau.HoldCream)
		if !held {
			holdSince = 0
		} else if holdSince == 0 {
			holdSince = k.t
		}
		if !p.obeys || !held || k.t < holdSince+1 {
			g := min(p.flow*0.25, left)
			k.pending, k.pour = g, p.flow
			left -= g
		}
		k.run(0.25, nil)
		a := k.last()
		if a.Standing.Has(plateau.HoldCream) && p.heldAt == 0 {
			p.heldAt = k.t
		}
		p.seized = p.seized || a.Standing.Has(plateau.Seize)
		floor := min(k.mix.Boils(k.pPa)-5, 150)
		p.depth = max(p.depth, floor-k.c)
		if k.c < floor-0.01 && !p.under {
			p.under, p.underAt = true, k.t
		}
	}
	p.took = k.t - start
	k.run(15, nil)
	p.seized = p.seized || k.last().Standing.Has(plateau.Seize)
}

// fastest is how long the creaming takes that keeps to the floor all the way:
// all that the pot holds at once, then as much as the hob heats.
func (p *pouring) fastest() float64 {
	mix := syrup.Mix{Solutes: p.melt}
	k := newKitchen(p.cfg)
	c, t, left := 172.0, 0.0, p.creamG
	for left > 0 {
		g := min(p.flow*0.25, left)
		k.mix = mix
		next := syrup.Pour(mix, k.heatCapacity(), c, k.cream.Scale(g), p.creamC, p.watts*0.25, k.pPa)
		if next.C >= min(next.Mix.Boils(k.pPa)-5, 150) {
			mix, c, left = next.Mix, next.C, left-g
		} else {
			c += p.watts * 0.25 / k.heatCapacity()
			c = min(c, max(mix.Boils(k.pPa), c-1))
		}
		t += 0.25
	}
	return t
}

// TestCream_hurriedCooks pours fifty creamings, with the prompts heeded and
// with them ignored.
//
// A jug that gives 25 g/s empties a whole portion before a probe that lags 4 s
// shows anything of it, and the fold does not know how cold the cream is. So a
// quarter of the cooks who heed the prompts may still dip under the floor, by
// no more than the 5 K that the floor itself stands under the boil.
func TestCream_hurriedCooks(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	within := func(lo, hi float64) float64 { return lo + (hi-lo)*rnd.Float64() }
	const cooks = 50
	under, slow := 0, 0
	for range cooks {
		p := pouring{cfg: dipping(), watts: within(300, 1200), creamC: within(5, 75), flow: within(4, 25), melt: within(250, 700)}
		p.creamG = p.melt * within(0.8, 1.4)
		p.cfg.Lag = time.Duration(within(1, 5) * float64(time.Second))
		k := newKitchen(p.cfg)
		p.cfg.Batch = plateau.Batch{Melt: syrup.Mix{Solutes: p.melt}, Cream: k.cream.Scale(p.creamG), PotJK: k.potJK}
		heeds, ignores := p, p
		heeds.obeys = true
		heeds.run()
		ignores.run()
		if heeds.under {
			under++
		}
		if heeds.depth > 5 {
			t.Errorf("%v: the prompts were heeded", heeds)
		}
		if heeds.took > 1.5*p.fastest()+5 {
			slow++
		}
		if ignores.under && (ignores.heldAt == 0 || ignores.heldAt > ignores.underAt) {
			t.Errorf("%v: no hold-cream before the floor", ignores)
		}
		if ignores.under && !ignores.seized {
			t.Errorf("%v: no seize", ignores)
		}
	}
	t.Logf("of %d cooks who heed: %d under the floor, %d slower than 1.5 times the fastest", cooks, under, slow)
	if under > cooks/4 || slow > cooks/2 {
		t.Errorf("of %d cooks who heed, %d dropped under the floor and %d took over 1.5 times the fastest", cooks, under, slow)
	}
}
