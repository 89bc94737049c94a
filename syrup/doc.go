// Package syrup holds the physics of boiling sugar: where water boils at a
// given air pressure, how much water a boiling syrup holds, what the
// ingredients of a caramel are made of, and how heat moves them.
//
// The two functions to know are [WaterRatio], which reads a boiling
// temperature as moles of water per mole of dissolved solute, and
// [SyrupBoils], its inverse. At a boil the temperature says how much water is
// left; fat is not dissolved and does not count.
//
// # Units
//
// Temperatures are °C (ITS-90), pressures Pa, masses g, heat J, power W, time
// s. Each parameter's name carries its unit. Nothing here rounds.
//
// # Trust
//
// Published boiling points of sugar solutions differ by 1–2.5 K near 80 %
// sugar and by 5 K near 91 %. The curve used here ([StarzakPeacock]) is within
// 0.7 K of a published table up to 75 %, within 3 K of all of them up to 85 %;
// above 98 % it is only a safe extrapolation. Below the boiling point of the
// pot nothing may be read from a temperature about its water.
//
// The package does no I/O, has no clock and keeps no state.
package syrup
