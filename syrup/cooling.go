package syrup

import "math"

// Cooled returns the temperature in °C of a pot s seconds after it stood at
// fromC in a room at roomC, by Newton's law with the time constant tauS. It
// does not hold for the first seconds, while the pot still boils.
func Cooled(fromC, roomC, tauS, s float64) (tC float64) {
	return roomC + (fromC-roomC)*math.Exp(-s/tauS)
}

// CoolingSeconds returns the time in s that a pot takes to cool from fromC to
// toC by the same law: 0 when it is there, +Inf when the room is not colder
// than toC.
func CoolingSeconds(fromC, toC, roomC, tauS float64) (s float64) {
	switch {
	case fromC <= toC:
		return 0
	case toC <= roomC:
		return math.Inf(1)
	}
	return tauS * math.Log((fromC-roomC)/(toC-roomC))
}

// Lagged returns what a probe reads dtS seconds after it read probeC, in a pot
// that stood at potC all the while; first order with the time constant tauS,
// 0 for a probe without lag.
func Lagged(probeC, potC, tauS, dtS float64) (tC float64) {
	if tauS <= 0 {
		return potC
	}
	return potC + (probeC-potC)*math.Exp(-dtS/tauS)
}
