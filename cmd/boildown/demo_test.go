package main

import (
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// demoCook cooks the demo's batch up to the last cream, without its clock.
type demoCook struct {
	of    pot.Config
	pot   *pot.Pot
	cook  *pot.Cook
	hand  *pot.Hand
	state plateau.State
	heard func(at time.Duration, a plateau.Advice) // each advice; may be nil

	began, ended time.Duration // first and last cream, 0 before
	deepest      float64       // under the creaming floor, K; negative for over it
}

func newDemoCook(seed uint64) *demoCook {
	flags := new(sourceFlags)
	cfg := flags.potBase(freshConfig())
	of := flags.potConfig(cfg)
	of.Seed = seed
	p := pot.New(of)
	return &demoCook{of: of, pot: p, cook: pot.NewCook(), hand: pot.NewHand(p), state: plateau.Start(cfg), deepest: math.Inf(-1)}
}

func (d *demoCook) step(in plateau.Input) {
	var a plateau.Advice
	d.state, a = plateau.Step(d.state, in)
	for prompt := range a.Began.All {
		d.cook.Hear(prompt.String())
		d.hand.Heard(prompt.String(), a.CreamG)
	}
	if d.heard != nil {
		d.heard(in.At, a)
	}
}

// run cooks for no longer than most; shown is what the probe makes of a reading.
func (d *demoCook) run(most time.Duration, shown func(r probe.Reading) probe.Reading) {
	for at := time.Duration(0); d.ended == 0 && at < most; at += time.Second {
		d.hand.Move()
		d.pot.Advance(at)
		r := shown(d.pot.Read())
		d.step(plateau.Reading(r))
		word := d.cook.Watch(at, r, d.pot.Look())
		d.hand.Told(word)
		if m, ok := plateau.MarkFor(word); ok {
			d.step(plateau.Input{Kind: plateau.Marked, At: r.At, Mark: m})
		}
		switch word {
		case "cream-start":
			d.began = at
		case "cream-end":
			d.ended = at
		}
		if d.began > 0 {
			d.deepest = max(d.deepest, min(float64(d.pot.BoilingPoint())-5, 150)-float64(d.pot.True()))
		}
	}
}

// poured is what has left the jug, g.
func (d *demoCook) poured() float64 { return d.of.Cream.Mass() - d.pot.JugG() }

// TestDemoHeedsThePrompts cooks the demo's batch: the cook pours what he is told
// and holds when he is told, so that the pot never drops to its floor, no more
// sugar seizes than cream in lukewarm portions makes, and the account of the
// cream is right.
func TestDemoHeedsThePrompts(t *testing.T) {
	for seed := range uint64(8) {
		d := newDemoCook(seed)
		off, offers, asked := 0.0, 0, false
		d.heard = func(at time.Duration, a plateau.Advice) {
			if a.Began.Has(plateau.Seize) || a.Began.Has(plateau.Burn) {
				t.Errorf("seed %d: at %v the cook is told %b", seed, at, a.Began)
			}
			if a.Phase != plateau.Cream {
				return
			}
			if a.Began.Has(plateau.AddCream) {
				offers++
			}
			asked = asked || a.CreamAll
			if d.ended == 0 {
				off = max(off, math.Abs(a.CreamInG-d.poured()))
			}
		}
		d.run(time.Hour, func(r probe.Reading) probe.Reading { return r })
		if took := d.ended - d.began; d.began == 0 || d.ended == 0 || took > 5*time.Minute {
			t.Errorf("seed %d: creaming from %v to %v", seed, d.began, d.ended)
		}
		if d.deepest > 0 || d.pot.Look().Lumps > 0.12 {
			t.Errorf("seed %d: %.1f K under the floor, %.0f %% of the sugar in lumps", seed, d.deepest, 100*d.pot.Look().Lumps)
		}
		if offers < 3 || off > 70 || asked && d.pot.JugG() > 60 {
			t.Errorf("seed %d: %d portions, up to %.0f g off by the account, all asked for with %.0f g in the jug", seed, offers, off, d.pot.JugG())
		}
		t.Logf("seed %d: %v, %d portions, %.1f K over the floor at least, account within %.0f g", seed, d.ended-d.began, offers, -d.deepest, off)
	}
}

// TestDemoProbeLiftedAmongTheCream takes the tip out while the cream goes in, for
// a look or to stir: what the account makes of it is put right when it is back,
// so that the creaming comes to its end and the pot stays over its floor.
func TestDemoProbeLiftedAmongTheCream(t *testing.T) {
	for _, in := range []float64{60, 200, 350} {
		for _, air := range []float64{40, 90} {
			for _, lasts := range []int{5, 12, 25} {
				d := newDemoCook(3)
				out, tip, off := -1, 0.0, 0.0
				d.run(30*time.Minute, func(r probe.Reading) probe.Reading {
					if out < 0 && d.poured() > in {
						out, tip = lasts, float64(r.C)
					}
					switch { // thirty seconds in air, three in the pot
					case out > 0:
						out--
						tip += (air - tip) * -math.Expm1(-1.0/30)
						off = tip - float64(r.C)
						r.C = probe.Celsius(tip)
					case off != 0:
						off *= math.Exp(-1.0 / 3)
						r.C += probe.Celsius(off)
					}
					return r
				})
				if took := d.ended - d.began; d.ended == 0 || took > 3*time.Minute || d.deepest > 1 {
					t.Errorf("lifted for %d s into %.0f °C at %.0f g: creaming from %v to %v, %.1f K under the floor", lasts, air, in, d.began, d.ended, d.deepest)
				}
			}
		}
	}
}
