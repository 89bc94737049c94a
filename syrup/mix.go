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
