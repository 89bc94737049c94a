package main

import (
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// pull takes the pot off the heat.
func (c *cooker) pull(at time.Duration) {
	c.out.slope = c.slopeNow()
	c.p.Told("pull")
	c.isOff, c.pullAt = true, -1
	c.out.pulled = at.Seconds()
	if c.boilAt >= 0 {
		c.out.peak = peak(c.p) + float64(c.h.Residual())
	}
	c.mark(at, "pull", c.h.Told.Marks)
}

// peak is how hot a pot that has just been pulled will get, °C.
func peak(p *pot.Pot) float64 {
	q := p.Clone()
	hottest := float64(q.True())
	for range 600 {
		q.Advance(q.Now() + 100*time.Millisecond)
		hottest = max(hottest, float64(q.True()))
	}
	return hottest
}

// slopeNow is the pot's slope with the heat as it is, K/min, over a whole
// period of a hob that cycles.
func (c *cooker) slopeNow() float64 {
	over := max(5*time.Second, c.h.Config.Cycle)
	q := c.p.Clone()
	q.Advance(q.Now() + over)
	return float64(q.True()-c.p.True()) / over.Minutes()
}

// doTurn turns the knob or moves the lid.
func (c *cooker) doTurn(at time.Duration) {
	t := c.h.Turns[c.turn]
	c.turn++
	tell := false
	if t.Lid != 0 {
		c.p.SetLid(t.Lid > 0)
	} else {
		before := c.p.Heat()
		c.p.SetHeat(t.Level)
		tell = c.h.Told.HeatMarks
		word := "heat-down"
		if c.p.Heat() > before {
			word = "heat-up"
		}
		c.mark(at, word, tell)
	}
	c.truth(at)
	above := c.p.BoilingPoint() > c.p.WaterBoils()+probe.Celsius(probe.DeltaF(225-211.95))
	c.out.turns = append(c.out.turns, turned{at: at.Seconds(), marked: tell, above: above, later: math.Inf(1)})
	if n := len(c.out.turns); n > 1 {
		c.out.turns[n-2].later = at.Seconds()
	}
}

// work is what the cook's hands do at this reading.
func (c *cooker) work(at time.Duration, r probe.Reading) {
	if !c.h.Config.StartsBoil {
		c.early(at, r)
	}
	c.lookForBoil(at)
}

// boilHolds is how long the whole pot has to boil before it counts, so that
// the flash of the last hot portion is not taken for it.
const boilHolds = 3 * time.Second

// lookForBoil notes when the whole pot boils after the last cream.
func (c *cooker) lookForBoil(at time.Duration) {
	if c.boilAt >= 0 || c.h.Kind == pot.Water || c.h.Kind == pot.DrySugar {
		return
	}
	if c.p.JugG() > 0 || !c.p.Boiling() {
		c.boilRun = at
		return
	}
	if at-c.boilRun >= boilHolds {
		c.boilAt = c.boilRun
		c.out.boils = c.boilAt.Seconds()
		if c.last.Standing.Has(plateau.NearTarget) { // come while it simmered up to the boil: early, not missed
			c.out.near = c.alertAt.Seconds()
		}
		c.truth(at)
	}
}

// early is the melt and the cream, done by the scripted cook.
func (c *cooker) early(at time.Duration, r probe.Reading) {
	look := c.p.Look()
	word := c.hand.Watch(at, r, look)
	noCream := c.h.Kind == pot.Water || c.h.Kind == pot.DrySugar
	if word == "" || noCream && word != "melt-start" && word != "crystals-gone" {
		return
	}
	if c.h.Kind == pot.Water && word != "melt-start" {
		return
	}
	c.p.Told(word)
	c.mark(at, word, c.h.Told.Marks)
	if word == "cream-end" {
		c.out.creamEnd = at.Seconds()
		if c.h.Kind == pot.OffHeat {
			c.pull(at)
		}
	}
}
