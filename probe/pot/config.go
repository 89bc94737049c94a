package pot

import (
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// Curve tells where a syrup boils: z is moles of water to a mole of solute,
// pPa the air pressure.
type Curve interface {
	Boils(z, pPa float64) (tC float64)
}

// Config is a batch, its pot, its hob and its probe. [DefaultConfig] returns
// one that works; the zero value does not.
type Config struct {
	Melt  syrup.Mix // melted dry before the cream
	Cream syrup.Mix // all that is added to it, from cream-start to cream-end

	CreamC      float64       // temperature of the cream, °C
	PortionG    float64       // size of a portion of cream, g
	PortionGap  time.Duration // from one portion to the next
	StartsBoil  bool          // everything is in the pot and just under its boil at the start
	Room        float64       // air of the kitchen, °C
	PressurePa  float64       // air pressure, Pa
	Curve       Curve         // where this syrup boils; nil is the recommended curve
	InvertShare float64       // share of the sucrose split in two by the boil, 0–1

	PotJK  float64 // heat capacity of the whole empty pot, J/K
	BaseJK float64 // the part of PotJK that is the hot base, J/K
	LossWK float64 // loss of the pot and its surface to the room, W/K

	Watts  float64       // into the base at full heat, W
	Level  float64       // where the heat is set at first, 0–1
	Cycle  time.Duration // period of a hob that switches on and off; 0 burns steadily
	HobLag time.Duration // first-order lag of the hob behind its knob

	Probe ProbeConfig
	Seed  uint64
}

// ProbeConfig is the thermometer.
type ProbeConfig struct {
	Every    time.Duration // from one reading to the next
	Lag      time.Duration // first-order time constant in syrup
	Offset   probe.Delta   // reads too high by this, K
	Noise    float64       // standard deviation of a reading in the boiling pot, K
	Step     float64       // resolution on its own scale; 0 is none
	Unit     probe.Unit    // scale of Step
	Spikes   float64       // single wild readings a minute
	Dropouts float64       // losses of one to five readings a minute
	Dips     float64       // stirrings that cool the tip, a minute
	Lifts    float64       // times a minute that the probe is lifted out for some seconds
}

// DefaultConfig returns the invented market-stall batch.
func DefaultConfig() Config { return Config{} }
