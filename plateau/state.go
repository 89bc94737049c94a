package plateau

import (
	"math"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// Version names the fold's behaviour. It is written beside every prompt that
// is kept, since a later fold may read an old batch differently.
const Version = "4"

// State is all that the fold knows. It is a comparable value without pointers,
// slices or maps: two folds that saw the same inputs are == and an old State
// stays usable. Make one with [Start].
type State struct {
	cfg       Config // as told; Target moves with Retargeted
	at        time.Duration
	potC      probe.Celsius // see pot
	potAt     time.Duration // when it was
	heldSlope float64       // see hope
	slopeC    float64       // °C/s of the boiling pot, as far as the readings bear it out
	line20    trend         // of the last 20 s, as of lineAt
	lineAt    time.Duration

	looks   looks
	clean   cleaner
	recent  recent
	boiling boiling
	bend    bend
	est     estimator
	cook    cook
	told    undo
	melt    melting
	plunge  plunge
	cream   creaming
	lift    lifted
	off     cooling
	blind   blindness
	alerts  alerts
	curve   syrup.Isobar // at the known pressure, else at sea level's
}

// Start returns the state before the first input. What in cfg is not a number
// or out of all reason is read as not given.
func Start(cfg Config) State {
	cfg = cfg.sane()
	s := State{cfg: cfg, est: newEstimator(cfg)}
	p := cfg.Pressure
	if p == 0 {
		p = syrup.StandardPressure
	}
	s.curve = syrup.NewIsobar(p)
	return s
}

// Config returns what the fold works with: what it was started with, and the
// target as last told.
func (s State) Config() Config { return s.cfg }

// Defaults of the fields that may be left out of a [Config].
const (
	defaultReaction = 2 * time.Second
	defaultNear     = probe.Delta(5 / 1.8) // 5 °F
)

// The dip window, 215 to 210 °F: common practice, no source.
var (
	defaultDipOpen  = probe.Fahrenheit(215)
	defaultDipClose = probe.Fahrenheit(210)
)

// sane returns the config with its defaults filled in and without anything
// that could put a NaN into the state.
func (c Config) sane() Config {
	c.Target = probe.Celsius(within(float64(c.Target), -50, 400, 0))
	c.Pressure = within(c.Pressure, 30e3, 120e3, 0)
	c.Calibration.Gain = within(c.Calibration.Gain, 0.5, 2, 1)
	c.Calibration.Offset = probe.Delta(within(float64(c.Calibration.Offset), -50, 50, 0))
	c.Lag = min(max(c.Lag, 0), time.Minute)
	if c.Reaction <= 0 {
		c.Reaction = defaultReaction
	}
	c.Reaction = min(c.Reaction, time.Minute)
	c.CarryOver = probe.Delta(within(float64(c.CarryOver), 0, 20, 0))
	if c.Near = probe.Delta(within(float64(c.Near), 0, 50, 0)); c.Near == 0 {
		c.Near = defaultNear
	}
	if c.DipOpen = probe.Celsius(within(float64(c.DipOpen), -50, 400, 0)); c.DipOpen == 0 {
		c.DipOpen = defaultDipOpen
	}
	if c.DipClose = probe.Celsius(within(float64(c.DipClose), -50, 400, 0)); c.DipClose == 0 {
		c.DipClose = defaultDipClose
	}
	c.DipClose = min(c.DipClose, c.DipOpen)
	c.Batch.Melt, c.Batch.Cream = saneMix(c.Batch.Melt), saneMix(c.Batch.Cream)
	c.Batch.PotJK = within(c.Batch.PotJK, 0, 1e6, 0)
	c.Batch.CreamC = within(c.Batch.CreamC, -5, 99, 0)
	return c
}

func saneMix(m syrup.Mix) syrup.Mix {
	const most = 1e6 // g
	return syrup.Mix{
		Water: within(m.Water, 0, most, 0), Fat: within(m.Fat, 0, most, 0),
		Solutes: within(m.Solutes, 0, most, 0), Protein: within(m.Protein, 0, most, 0),
		Ash: within(m.Ash, 0, most, 0), MolG: within(m.MolG, 18, 2000, 0),
	}
}

// within returns v, or otherwise when v is not a number between lo and hi.
func within(v, lo, hi, otherwise float64) float64 {
	if v >= lo && v <= hi && !math.IsNaN(v) {
		return v
	}
	return otherwise
}
