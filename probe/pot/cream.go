package pot

import (
	"math"
	"time"
)

// pourGS is how fast cream leaves the jug, g/s.
const pourGS = 20

// pour lets cream flow for one step, and sugar seize and dissolve.
func (p *Pot) pour() {
	poured := 0.0
	if p.pouring && p.jug > 0 {
		if p.now >= p.nextAt {
			p.portion += p.cfg.PortionG
			p.nextAt += p.cfg.PortionGap
		}
		flow := p.flow
		if flow == 0 {
			flow = pourGS
		}
		m := min(flow*stepSeconds, p.portion)
		if p.hurry {
			m = pourGS * stepSeconds
		}
		m = min(m, p.JugG())
		p.portion = max(p.portion-m, 0)
		if m > 0 {
			p.creamIn(m)
			poured = m
		}
	}
	if p.jug == 0 {
		p.pouring, p.hurry, p.portion = false, false, 0
	}
	p.seize(poured)
	p.dissolve()
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

// seize turns sugar solid where m grams of cream that have just gone in chill
// it. Cream takes a while to mix: what was poured in the last half minute
// stands as a cold half of its own mass too many, and where that brings a
// nearly dry melt to more than 15 K under its boil, up to 0.8 g of sugar a gram
// of cream go hard. The figures are guesses; that cold cream poured fast
// seizes and a warm trickle does not is common practice, no source.
func (p *Pot) seize(m float64) {
	p.unmixed += m - p.unmixed/30*stepSeconds
	if m <= 0 {
		return
	}
	jk := p.contentsJK()
	cold := 2 * p.unmixed * 3.3 // J/K, at cream's 3.3 J/(g·K)
	local := (jk*p.contents + cold*p.cfg.CreamC) / (jk + cold)
	b, _ := p.tab.boils(p.fraction())
	under := min(b, 155) - 15 - local
	if under <= 0 || p.liquid <= 0 {
		return
	}
	dry := math.Exp(-2 * p.water / p.liquid)
	hard := min(0.8*m*min(under/30, 1)*dry, p.liquid)
	p.liquid -= hard
	p.lumps += hard
}

// dissolve lets lumps dissolve again: in some two and a half minutes at
// 105 °C, twice as fast each 15 K. Both are guesses.
func (p *Pot) dissolve() {
	if p.lumps <= 0 || p.water <= 0 || p.contents < 50 {
		return
	}
	m := p.lumps / 150 * math.Exp2((p.contents-105)/15) * stepSeconds
	if p.lumps < 0.01*p.cfg.Melt.Solutes {
		m = max(m, 0.02*stepSeconds) // the last crumbs go, too
	}
	m = min(m, p.lumps)
	p.lumps -= m
	p.liquid += m
}

// JugG returns the cream still in the jug, g.
func (p *Pot) JugG() float64 { return p.jug * p.cfg.Cream.Mass() }

func (p *Pot) startCream() {
	if p.jug > 0 && !p.pouring {
		p.pouring, p.nextAt = true, p.now
	}
}

// Pour lets g grams of cream flow in at gPerS, in place of what flows now; none
// puts the jug down.
func (p *Pot) Pour(g, gPerS float64) {
	p.pouring, p.portion, p.flow = p.jug > 0 && g > 0, max(g, 0), gPerS
	p.nextAt = p.now + 1000*time.Hour
}

// endCream pours in what is left, all at once: a recipe's cream goes into the
// pot whether there is time or not.
func (p *Pot) endCream() {
	if p.jug > 0 {
		p.pouring, p.hurry = true, true
		p.nextAt = p.now + time.Hour
	}
}
