package plateau

import (
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// Config is what the fold is told before the first input. It is the session
// header's numeric part, and it lives inside [State], so it is comparable.
// The zero value of each field but Target is usable.
type Config struct {
	Target      probe.Celsius     // endpoint, on the corrected scale, as this probe reads it here today
	Pressure    float64           // air pressure, Pa; 0 when unknown, which is not sea level's
	Calibration probe.Calibration // applied to every raw reading on the way in
	Lag         time.Duration     // the probe's first-order time constant
	Reaction    time.Duration     // from the pull prompt to the pot off the heat; 0 is read as 2 s
	CarryOver   probe.Delta       // how far the pot goes on rising after the pull; 0 or more
	Near        probe.Delta       // near-target comes this far below the target; 0 is read as 5 °F
	DipOpen     probe.Celsius     // the dip window's hot end; 0 is read as 215 °F
	DipClose    probe.Celsius     // the dip window's cool end; 0 is read as 210 °F
	Batch       Batch             // what is in the pot, where a recipe says so
}

// Batch is the recipe in grams and joules. The zero value means that no
// recipe was given.
type Batch struct {
	Melt  syrup.Mix // what is melted before the cream
	Cream syrup.Mix // what is added to it
	PotJK float64   // heat capacity of the empty pot, J/K; 0 when unknown
	// CreamC is how warm the cream goes in, °C; 0 when unknown, which is taken
	// for cold.
	CreamC float64
}

// Known reports whether a recipe was given.
func (b Batch) Known() bool { return b != Batch{} }
