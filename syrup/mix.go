package syrup

// Mix is what is in a pot or a jug, in grams by constituent. Solutes is all
// that is dissolved in the water and raises its boiling point: sugars, milk
// solids-not-fat and salts; Protein and Ash are the parts of it that the heat
// capacity tells apart.
type Mix struct {
	Water, Fat, Solutes float64 // g
	Protein, Ash        float64 // g, counted in Solutes too
	MolG                float64 // mean molar mass of the solutes, g/mol; 0 is read as sucrose's 342.2965
}

// Mass returns the whole mass in grams.
func (m Mix) Mass() float64 { return m.Water + m.Fat + m.Solutes }

// Moles returns the moles of dissolved solute.
func (m Mix) Moles() float64 {
	if m.MolG == 0 {
		return m.Solutes / SucroseMolG
	}
	return m.Solutes / m.MolG
}

// Add returns m and o stirred together. Moles add up, so the molar mass of the
// sum is that of both.
func (m Mix) Add(o Mix) Mix {
	sum := Mix{
		Water: m.Water + o.Water, Fat: m.Fat + o.Fat, Solutes: m.Solutes + o.Solutes,
		Protein: m.Protein + o.Protein, Ash: m.Ash + o.Ash,
	}
	if m.MolG == 0 && o.MolG == 0 {
		return sum
	}
	if n := m.Moles() + o.Moles(); n > 0 {
		sum.MolG = sum.Solutes / n
	}
	return sum
}

// Scale returns factor times as much of m.
func (m Mix) Scale(factor float64) Mix {
	m.Water *= factor
	m.Fat *= factor
	m.Solutes *= factor
	m.Protein *= factor
	m.Ash *= factor
	return m
}

// WithWater returns m with its water changed to waterG.
func (m Mix) WithWater(waterG float64) Mix {
	m.Water = waterG
	return m
}

// Ratio returns the moles of water per mole of solute; +Inf without solute.
func (m Mix) Ratio() (z float64) { return m.Water / WaterMolG / m.Moles() }

// WaterAt returns the grams of water left when m boils at tC under pPa; +Inf
// at or below water's boiling point.
func (m Mix) WaterAt(tC, pPa float64) (g float64) {
	return WaterRatio(tC, pPa) * WaterMolG * m.Moles()
}

// Boils returns the temperature in °C at which m boils under pPa.
func (m Mix) Boils(pPa float64) (tC float64) { return SyrupBoils(m.Ratio(), pPa) }
