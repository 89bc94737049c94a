package main

import (
	"math"
	"slices"
	"strings"
)

// panMaterials are the specific heats of pots, J/(g·K), from memory.
var panMaterials = map[string]float64{
	"steel": 0.50, "stainless steel": 0.50, "copper": 0.385, "aluminium": 0.90, "aluminum": 0.90,
	"cast iron": 0.46, "enamelled iron": 0.46,
}

func panMaterialNames() []string {
	var names []string
	for name := range panMaterials {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// heatCapacity returns J/K, 0 when too little is known.
func (p pan) heatCapacity() float64 { return p.Grams * panMaterials[strings.ToLower(p.Material)] }

// fill guesses what the file leaves out: half a kilogram of pot to the litre,
// and a pot 0.6 times as high as it is wide. Both are our own, no source.
func (p pan) fill() pan {
	if p.Grams == 0 && p.HoldsML > 0 && p.Material != "" {
		p.Grams, p.Guessed = p.HoldsML/2, true
	}
	if p.AcrossCM == 0 && p.HoldsML > 0 {
		p.AcrossCM = math.Cbrt(p.HoldsML / (math.Pi / 4 * 0.6))
	}
	return p
}

// depthCM is how deep mL of caramel stand in the pot, 0 when unknown.
func (p pan) depthCM(mL float64) float64 {
	if p.AcrossCM == 0 {
		return 0
	}
	return mL / (math.Pi / 4 * p.AcrossCM * p.AcrossCM)
}
