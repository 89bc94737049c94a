package syrup

import "math"

// Poured is what a pot is after something was poured into it.
type Poured struct {
	C       float64 // temperature, °C
	FlashG  float64 // water that boiled off at once, g
	Mix     Mix     // what is in the pot now
	Boiling bool    // the mixture boils
}

// Pour stirs cold into a pot that holds hot at hotC and takes up heatJ from the
// hob meanwhile. hotJK is the heat capacity of hot and pot together. What heat
// is left over at the mixture's boiling point turns water into steam at once.
func Pour(hot Mix, hotJK, hotC float64, cold Mix, coldC, heatJ, pPa float64) Poured {
	coldJK := cold.Mass() * cp(cold, (hotC+coldC)/2, coldC)
	mixed := hot.Add(cold)
	t := (hotJK*hotC + coldJK*coldC + heatJ) / (hotJK + coldJK)
	if t <= mixed.Boils(pPa) || mixed.Water == 0 {
		return Poured{C: t, Mix: mixed}
	}
	boilAfter := func(flash float64) float64 { return mixed.WithWater(mixed.Water - flash).Boils(pPa) }
	lo, hi := 0.0, mixed.Water
	for range 60 {
		flash := (lo + hi) / 2
		b := boilAfter(flash)
		if flash*LatentHeat(math.Min(b, 150)) < hotJK*(hotC-b)-coldJK*(b-coldC)+heatJ {
			lo = flash
		} else {
			hi = flash
		}
	}
	flash := (lo + hi) / 2
	return Poured{C: boilAfter(flash), FlashG: flash, Mix: mixed.WithWater(mixed.Water - flash), Boiling: true}
}

// cp is the mean specific heat of a watery mix on its way from coldC, J/(g·K),
// taken half way and no hotter than the mix can get.
func cp(m Mix, midC, coldC float64) float64 {
	if m.Mass() == 0 {
		return 0
	}
	return m.HeatCapacity(math.Min(midC, (100+coldC)/2)) / m.Mass()
}

// Portion is cream by the gram, and the floor under which the pot must not
// drop: under it the sugar may seize.
type Portion struct {
	CpJGK  float64 // specific heat of the cream, J/(g·K); about 3.27
	Water  float64 // its share of water, 0–1
	CreamC float64 // °C
	FloorC float64 // °C
	BoilsC float64 // boiling point of what is in the pot with the portion in it, °C
}

// JPerG returns the heat in J that a gram of cream takes up until it is at the
// floor: with its water turned to steam where the floor lies above the boiling
// point.
func (p Portion) JPerG() float64 {
	j := p.CpJGK * (p.FloorC - p.CreamC)
	if p.FloorC > p.BoilsC {
		j += p.Water * LatentHeat(math.Min(p.BoilsC, 150))
	}
	return j
}

// Largest returns the most grams that can go at once into a pot at potC with
// the heat capacity potJK, which takes up heatJ before the next portion, so
// that it stays at the floor or above; 0 when it is below already, +Inf when
// the cream is as hot as the floor and cannot cool it.
func (p Portion) Largest(potJK, potC, heatJ float64) (g float64) {
	heat := potJK*(potC-p.FloorC) + heatJ
	switch j := p.JPerG(); {
	case heat <= 0:
		return 0
	case j <= 0:
		return math.Inf(1)
	default:
		return heat / j
	}
}

// Trickle returns the steady flow in g/s that powerW of net heat keeps at the
// floor.
func (p Portion) Trickle(powerW float64) (gPerS float64) {
	if j := p.JPerG(); j > 0 {
		return math.Max(0, powerW) / j
	}
	return math.Inf(1)
}
