package pot

import (
	"math"

	"boildown/syrup"
)

// Facts about sugar and steam. Sources stand beside them; what has none is a
// guess that keeps the pot plausible.
const (
	sucroseMolG = 342.2965 // g/mol
	waterMolG   = 18.01528 // g/mol
	meltsC      = 165      // apparent melting of slowly heated sugar; published values run from 150 to 190 °C
	meltJG      = 100      // J/g taken up in melting there; DSC figures run from 90 to 135
	moltenJGK   = 2.3      // heat capacity of molten sugar, J/(g·K), ±0.2: a syrup formula extrapolated to no water
)

// steamJG is the latent heat of water in J/g: a straight line within 0.1 % of
// the IF97 values from 95 to 130 °C.
func steamJG(tC float64) float64 { return 2256.5 - 2.70*(tC-100) }

// crystalJGK is the heat capacity of sugar crystals in J/(g·K), the derivative
// of Mohos's mean (2010, appendix 2) 1.1355 + 0.00431·t.
func crystalJGK(tC float64) float64 { return 1.1355 + 0.00862*tC }

// sugarJGK is that of liquid sugar: Choi and Okos's carbohydrate where it is
// dissolved in much water, and molten sugar's where it is hot, hence nearly
// dry, with a straight line between.
func sugarJGK(tC float64) float64 {
	const wet, dry = 118, 150
	choiOkos := 1.5488 + tC*(1.9625e-3-5.9399e-6*tC)
	return choiOkos + (moltenJGK-choiOkos)*min(max((tC-wet)/(dry-wet), 0), 1)
}

// contentsJK is the heat capacity of the contents with the pot's wall, J/K.
func (p *Pot) contentsJK() float64 {
	t := p.contents
	m := syrup.Mix{Water: p.water, Fat: p.fat, Solutes: p.milk, Protein: p.protein, Ash: p.ash}
	return p.cfg.PotJK - p.cfg.BaseJK + m.HeatCapacity(t) + (p.liquid+p.lumps)*sugarJGK(t)
}

// moles returns the dissolved moles.
func (p *Pot) moles() float64 {
	return p.liquid*(1+p.inverted)/sucroseMolG + p.milkMol
}

// fraction returns the solutes' mole fraction of the watery phase: 0 for plain
// water, 1 for no water.
func (p *Pot) fraction() float64 {
	n := p.moles()
	if n+p.water <= 0 {
		return 1
	}
	return n / (n + p.water/waterMolG)
}

// hob returns the power that reaches the base in W and moves the hob on by a
// step. A cycling hob burns at full power for the knob's share of its period.
func (p *Pot) hob() float64 {
	want := 0.0
	if p.on {
		want = p.cfg.Watts * p.level
		if c := p.cfg.Cycle; c > 0 && p.level > 0 && p.level < 1 {
			want = 0
			if phase := p.now % c; float64(phase) < p.level*float64(c) {
				want = p.cfg.Watts
			}
		}
	}
	p.hobW += (want - p.hobW) * p.hobShare
	if p.off {
		return 0
	}
	return p.hobW
}

// decay is the share of a first-order gap that closes in one step.
func decay(lagSeconds float64) float64 {
	if lagSeconds <= 0 {
		return 1
	}
	return -math.Expm1(-stepSeconds / lagSeconds)
}
