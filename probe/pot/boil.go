package pot

import "math"

// heat moves heat for one step: hob to base, base to crystals and contents,
// contents to room and steam.
func (p *Pot) heat() {
	in := p.hob() * stepSeconds
	p.sums.inJ += in

	wet, toCrystals := 1.0, 0.0
	if p.crystals > 0 {
		wet, toCrystals = p.melt()
	}
	flow := p.cfg.BaseWK * wet * (p.base - p.contents) * stepSeconds
	p.base += (in - flow - toCrystals) / p.cfg.BaseJK

	jk := p.contentsJK()
	loss := p.lossJ()
	p.sums.lostJ += loss
	gain := flow - loss
	if p.water > 0 {
		gain -= p.simmer(flow)
	}
	p.contents += gain / jk
	p.boilers = p.boil(jk) / stepSeconds
}

// lossJ is what a step loses to the room. A lid halves it.
func (p *Pot) lossJ() float64 {
	w := p.cfg.LossWK * (p.contents - p.cfg.Room)
	if p.lid {
		w /= 2
	}
	return w * stepSeconds
}

// simmer takes off the steam of a pot that does not yet boil as a whole: the
// bubbles that rise from the hot base and do not collapse, and the surface's
// own evaporation. It returns the heat that this takes, J. In the last half
// kelvin the bubbles' heat goes into the bulk, or a slow pot would chase its
// own rising boiling point for ever.
func (p *Pot) simmer(flow float64) float64 {
	b, _ := p.tab.boils(p.fraction())
	under := b - p.contents
	if under <= 0 || p.boiling {
		return 0
	}
	const reach, last = 3, 0.5 // K under the boil: over which bubbling falls by e, and the last of the way; guesses
	l := steamJG(p.contents)
	bubbles := 0.5 * max(flow, 0) * math.Exp(-under/reach) * min(under/last, 1) / l
	// A still surface gives off steam as its vapour pressure, which falls by
	// 3.4 % a kelvin near 105 °C (Clausius and Clapeyron).
	surface := p.cfg.SurfaceG * math.Exp(-0.034*under) * stepSeconds
	return p.steamOff(bubbles + surface)
}

// boil lets off the steam that brings contents above their boiling point back
// to it, and returns its mass, g. Each gram that leaves raises the boiling
// point, so this is solved and not merely divided.
func (p *Pot) boil(jk float64) float64 {
	p.boiling = false
	if p.water <= 0 {
		return 0
	}
	gone := 0.0
	for range 6 {
		x := p.fraction()
		b, slope := p.tab.boils(x)
		over := p.contents - b
		if over < 1e-4 {
			break
		}
		p.boiling = true
		// x = n/(n+w): dx/dw = −x(1−x)/w, and the boiling point with it.
		perG := slope * x * (1 - x) / p.water
		m := min(jk*over/(steamJG(p.contents)+jk*perG), 0.5*p.water)
		p.contents -= p.steamOff(m) / jk
		gone += m
	}
	return gone
}

// lidW is what a cool lid can condense.
const lidW = 80

// steamOff takes m grams of water out of the pot and returns the heat that
// goes with it. Under a lid some runs back, and its heat goes to the room.
func (p *Pot) steamOff(m float64) float64 {
	m = min(m, p.water)
	l := steamJG(p.contents)
	lost := m
	if p.lid {
		back := min(m, lidW*stepSeconds/l)
		lost -= back
		p.sums.lostJ += back * l
	}
	p.water -= lost
	p.sums.steamG += lost
	p.sums.steamJ += lost * l
	return m * l
}

// age browns the sugar and splits it.
func (p *Pot) age() {
	if p.contents > 120 {
		p.browned += math.Exp((p.contents-170)/8) * stepSeconds
	}
	if r := p.cfg.InvertHour; r > 0 && p.water > 0 && p.inverted < 1 {
		p.inverted += r / 3600 * math.Exp2((p.contents-110)/10) * stepSeconds * (1 - p.inverted)
	}
}
