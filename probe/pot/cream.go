package pot

import (
	"math"
	"time"
)

// pourGS is how fast cream leaves the jug, g/s.
const pourGS = 20

// pour lets cream flow for one step, and sugar seize and dissolve.
func (p *Pot) pour() {
	if p.pouring && p.jug > 0 {
		if p.now >= p.nextAt {
			p.portion += p.cfg.PortionG
			p.nextAt += p.cfg.PortionGap
		}
		m := min(pourGS*stepSeconds, p.portion)
		if p.hurry {
			m = pourGS * stepSeconds
		}
		m = min(m, p.JugG())
		p.portion = max(p.portion-m, 0)
		if m > 0 {
			p.creamIn(m)
		}
	}
	if p.jug == 0 {
		p.pouring, p.hurry, p.portion = false, false, 0
	}
	p.seize()
}

// creamIn mixes m grams of cream in.
func (p *Pot) creamIn(m float64) {
	if p.crystals > 0 {
		p.drown()
	}
	jk := p.contentsJK()
	before := p.jug
	p.add(m / p.cfg.Cream.Mass())
	c := p.cfg.Cream
	c = c.Scale(before - p.jug)
	cjk := c.HeatCapacity((p.contents + p.cfg.CreamC) / 2)
	p.contents = (jk*p.contents + cjk*p.cfg.CreamC) / (jk + cjk)
}

// drown turns crystals that cream has reached into lumps in it.
func (p *Pot) drown() {
	jk := p.contentsJK()
	c := p.crystals * sugarJGK((p.contents+p.crystalC)/2)
	p.contents = (jk*p.contents + c*p.crystalC) / (jk + c)
	p.lumps += p.crystals
	p.crystals = 0
}

// seize turns sugar solid that cream has chilled to more than 5 K under the
// boil, and lets lumps dissolve again: in about two and a half minutes at
// 105 °C, twice as fast each 15 K. Both speeds are guesses.
func (p *Pot) seize() {
	if p.water <= 0 {
		return
	}
	if p.jug > 0 || p.pouring {
		b, _ := p.tab.boils(p.fraction())
		if under := min(b, 155) - 5 - p.contents; under > 0 {
			m := p.liquid * min(under/10, 1) / 30 * stepSeconds
			p.liquid -= m
			p.lumps += m
		}
	}
	if p.lumps > 0 && p.contents > 50 {
		m := p.lumps / 150 * math.Exp2((p.contents-105)/15) * stepSeconds
		if p.lumps < 0.01*p.cfg.Melt.Solutes {
			m = max(m, 0.02*stepSeconds)
		}
		m = min(m, p.lumps)
		p.lumps -= m
		p.liquid += m
	}
}

// JugG returns the cream still in the jug, g.
func (p *Pot) JugG() float64 { return p.jug * p.cfg.Cream.Mass() }

func (p *Pot) startCream() {
	if p.jug > 0 && !p.pouring {
		p.pouring, p.nextAt = true, p.now
	}
}

// endCream pours in what is left, all at once: a recipe's cream goes into the
// pot whether there is time or not.
func (p *Pot) endCream() {
	if p.jug > 0 {
		p.pouring, p.hurry = true, true
		p.nextAt = p.now + time.Hour
	}
}
