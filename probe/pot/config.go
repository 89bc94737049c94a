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
	Melt  syrup.Mix // sugar melted dry before the cream; water in it makes a wet melt
	Cream syrup.Mix // all that is added to it, from cream-start to cream-end

	CreamC     float64       // temperature of the cream, °C
	PortionG   float64       // size of a portion of cream, g
	PortionGap time.Duration // from the start of one portion to the next
	StartsBoil bool          // everything is in the pot and boils at the start, the heat on
	Room       float64       // air of the kitchen, °C
	PressurePa float64       // air pressure, Pa
	Curve      Curve         // where this syrup boils; nil is the recommended curve
	Inverted   float64       // share of the sucrose that is split in two from the start, 0–1
	InvertHour float64       // further share split in an hour at 110 °C; doubles each 10 K

	PotJK    float64 // heat capacity of the whole empty pot, J/K
	BaseJK   float64 // the part of PotJK that is the hot base, J/K
	BaseWK   float64 // conductance from the base to wet contents, W/K
	LossWK   float64 // loss of the pot and its surface to the room, W/K
	SurfaceG float64 // evaporation of a still surface just under the boil, g/s

	Watts  float64       // into the base at full heat, W
	Level  float64       // where the knob stands when the heat goes on, 0–1
	Cycle  time.Duration // period of a hob that switches on and off; 0 burns steadily
	HobLag time.Duration // first-order lag of the hob behind its knob

	Probe ProbeConfig
	Seed  uint64 // of the probe's noise and mishaps; the pot itself has no chance in it
}

// ProbeConfig is the thermometer.
type ProbeConfig struct {
	Every    time.Duration // from one reading to the next
	Lag      time.Duration // first-order time constant in syrup
	Offset   probe.Delta   // reads too high by this, K
	Noise    float64       // standard deviation of a reading in the boiling pot, K
	Step     float64       // resolution on the scale Unit; 0 is none
	Unit     probe.Unit
	Spikes   float64 // single wild readings a minute
	Dropouts float64 // losses of one to five readings a minute
	Dips     float64 // stirrings that cool the tip, a minute
	Lifts    float64 // times a minute that the probe is lifted out for some seconds
}

// DefaultConfig returns the batch of an invented market stall that dips
// pretzel rods and pears and wraps soft caramels: 400 g of sugar, 480 g of
// heavy cream (common practice, no source) in a 1 kg steel pot of 1.9 L, on a
// hob whose power and losses are guesses.
func DefaultConfig() Config {
	return Config{
		Melt:       syrup.Mix{Solutes: 400},
		Cream:      syrup.Cream(36.08).Mix(480),
		CreamC:     40,
		PortionG:   40,
		PortionGap: 15 * time.Second,
		Room:       22,
		PressurePa: 101325,
		PotJK:      500,
		BaseJK:     200,
		BaseWK:     35,
		LossWK:     1.5,
		SurfaceG:   0.005,
		Watts:      1000,
		Level:      0.75,
		HobLag:     4 * time.Second,
		Probe: ProbeConfig{
			Every: time.Second,
			Lag:   3 * time.Second,
			Noise: 0.08,
			Step:  0.1,
			Dips:  0.3,
		},
		Seed: 1,
	}
}
