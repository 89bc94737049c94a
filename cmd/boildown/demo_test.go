package main

import (
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// TestDemoHeedsThePrompts cooks the demo's batch, without its clock: the cook
// pours what he is told and holds when he is told, so that the pot never drops
// to its floor, no more sugar seizes than cream in lukewarm portions makes, and
// the account of the cream is right.
func TestDemoHeedsThePrompts(t *testing.T) {
	for seed := range uint64(8) {
		flags := new(sourceFlags)
		cfg := flags.potBase(freshConfig())
		of := flags.potConfig(cfg)
		of.Seed = seed
		p, cook, s := pot.New(of), pot.NewCook(), plateau.Start(cfg)
		hand := pot.NewHand(p)
		var began, ended time.Duration
		deepest, off, offers, asked := math.Inf(-1), 0.0, 0, false
		step := func(in plateau.Input) {
			var a plateau.Advice
			s, a = plateau.Step(s, in)
			for prompt := range a.Began.All {
				cook.Hear(prompt.String())
				hand.Heard(prompt.String(), a.CreamG)
			}
			if a.Began.Has(plateau.Seize) || a.Began.Has(plateau.Burn) {
				t.Errorf("seed %d: at %v the cook is told %b", seed, in.At, a.Began)
			}
			if a.Phase == plateau.Cream {
				if a.Began.Has(plateau.AddCream) {
					offers++
				}
				asked = asked || a.CreamAll
				if ended == 0 {
					off = max(off, math.Abs(a.CreamInG-(of.Cream.Mass()-p.JugG())))
				}
			}
		}
		for at := time.Duration(0); ended == 0 && at < time.Hour; at += time.Second {
			hand.Move()
			p.Advance(at)
			r := p.Read()
			step(plateau.Reading(r))
			word := cook.Watch(at, r, p.Look())
			hand.Told(word)
			if m, ok := plateau.MarkFor(word); ok {
				step(plateau.Input{Kind: plateau.Marked, At: r.At, Mark: m})
			}
			switch word {
			case "cream-start":
				began = at
			case "cream-end":
				ended = at
			}
			if began > 0 {
				deepest = max(deepest, min(float64(p.BoilingPoint())-5, 150)-float64(p.True()))
			}
		}
		if took := ended - began; began == 0 || ended == 0 || took > 5*time.Minute {
			t.Errorf("seed %d: creaming from %v to %v", seed, began, ended)
		}
		if deepest > 0 || p.Look().Lumps > 0.12 {
			t.Errorf("seed %d: %.1f K under the floor, %.0f %% of the sugar in lumps", seed, deepest, 100*p.Look().Lumps)
		}
		if offers < 3 || off > 70 || asked && p.JugG() > 60 {
			t.Errorf("seed %d: %d portions, up to %.0f g off by the account, all asked for with %.0f g in the jug", seed, offers, off, p.JugG())
		}
		t.Logf("seed %d: %v, %d portions, %.1f K over the floor at least, account within %.0f g", seed, ended-began, offers, -deepest, off)
	}
}

// TestDemoProbeLiftedAmongTheCream takes the tip out while the cream goes in, for
// a look or to stir: what the account makes of it is put right when it is back,
// so that the creaming comes to its end and the pot stays over its floor.
func TestDemoProbeLiftedAmongTheCream(t *testing.T) {
	for _, in := range []float64{60, 200, 350} {
		for _, air := range []float64{40, 90} {
			for _, lasts := range []int{5, 12, 25} {
				cfg := new(sourceFlags).potBase(freshConfig())
				of := new(sourceFlags).potConfig(cfg)
				of.Seed = 3
				p, cook, s := pot.New(of), pot.NewCook(), plateau.Start(cfg)
				hand := pot.NewHand(p)
				var a plateau.Advice
				step := func(in plateau.Input) {
					s, a = plateau.Step(s, in)
					for prompt := range a.Began.All {
						cook.Hear(prompt.String())
						hand.Heard(prompt.String(), a.CreamG)
					}
				}
				var began, ended time.Duration
				out, tip, off, deepest := -1, 0.0, 0.0, 0.0
				for at := time.Duration(0); ended == 0 && at < 30*time.Minute; at += time.Second {
					hand.Move()
					p.Advance(at)
					r := p.Read()
					if out < 0 && of.Cream.Mass()-p.JugG() > in {
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
					step(plateau.Reading(r))
					word := cook.Watch(at, r, p.Look())
					hand.Told(word)
					if m, ok := plateau.MarkFor(word); ok {
						step(plateau.Input{Kind: plateau.Marked, At: r.At, Mark: m})
					}
					switch word {
					case "cream-start":
						began = at
					case "cream-end":
						ended = at
					}
					if began > 0 {
						deepest = max(deepest, min(float64(p.BoilingPoint())-5, 150)-float64(p.True()))
					}
				}
				if took := ended - began; ended == 0 || took > 3*time.Minute || deepest > 1 {
					t.Errorf("lifted for %d s into %.0f °C at %.0f g: creaming from %v to %v, %.1f K under the floor", lasts, air, in, began, ended, deepest)
				}
			}
		}
	}
}
