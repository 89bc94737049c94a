package pot

// melt moves heat into dry crystals for one step. It returns the share of the
// base that is wet, and the heat that the base gives to the crystals, J.
//
// Dry sugar takes heat badly until there is syrup under it. A layer on the
// base melts while the rest is still warming, and syrup hotter than the
// melting point eats into the crystals that lie in it.
func (p *Pot) melt() (wet, fromBase float64) {
	wet = p.wet()
	dryWK := 0.25 * p.cfg.BaseWK * (1 - wet)
	fromBase = dryWK * (p.base - p.crystalC) * stepSeconds

	layer := (p.base + p.crystalC) / 2
	share := min(max((layer-(meltsC-5))/25, 0), 1)
	if p.crystalC >= meltsC {
		share = 1
	}
	perG := p.toMeltJG()
	melted := max(share*fromBase, 0) / perG

	// The syrup's heat for the crystals is taken from the contents here.
	fromSyrup := 0.0
	if p.liquid > 0 && p.contents > meltsC-5 {
		fromSyrup = 0.8 * p.cfg.BaseWK * wet * (p.contents - (meltsC - 5)) * stepSeconds
		melted += fromSyrup / perG
	}
	rest := fromBase - max(share*fromBase, 0)
	p.crystalC += rest / (p.crystals * crystalJGK(p.crystalC))

	if melted > p.crystals {
		fromSyrup -= (melted - p.crystals) * perG
		melted = p.crystals
	}
	p.contents -= fromSyrup / p.contentsJK()
	p.intoLiquid(melted)
	p.crystals -= melted
	if p.crystals < 1e-6*p.cfg.Melt.Solutes {
		p.crystals = 0
	}
	return 0.08 + 0.92*wet, fromBase
}

// wet is the share of the base covered by liquid, 0–1. Where crystals are few
// they float in it.
func (p *Pot) wet() float64 {
	l := p.liquid + p.water
	return l / (l + 0.3*p.crystals)
}

// toMeltJG is the heat that takes a gram of crystals from where they are to
// syrup at the melting point.
func (p *Pot) toMeltJG() float64 {
	mid := (p.crystalC + meltsC) / 2
	return (meltsC-p.crystalC)*crystalJGK(mid) + meltJG
}

// intoLiquid adds g grams of syrup at the melting point to the contents.
func (p *Pot) intoLiquid(g float64) {
	jk := p.contentsJK()
	c := g * sugarJGK((p.contents+meltsC)/2)
	p.liquid += g
	p.contents += c * (meltsC - p.contents) / (jk + c)
}
