package plateau

import (
	"time"

	"boildown/probe"
)

// estimator turns clean readings into a slope, the pot's temperature now, and
// the time at which the target arrives. It is a comparable value, like the
// [State] that holds it.
type estimator struct {
	cfg    Config
	target probe.Celsius
	seen   bool
	at     time.Duration
	last   probe.Celsius
}

// newEstimator returns an estimator that has seen nothing.
func newEstimator(cfg Config) estimator {
	return estimator{cfg: cfg, target: cfg.Target}
}

// observe takes one clean, corrected reading; bubbling noise is still in it.
func (e *estimator) observe(at time.Duration, c probe.Celsius) {
	e.seen, e.at, e.last = true, at, c
}

// boilBegan says that since at the whole pot boils after the last cream.
func (e *estimator) boilBegan(at time.Duration) {}

// heatChanged says that the cook turned the heat at the given time: dir is −1
// for down and +1 for up.
func (e *estimator) heatChanged(at time.Duration, dir int) {}

// gap says that readings stop, so that no line is drawn across what is missing.
func (e *estimator) gap(at time.Duration) {}

// restart forgets the line and keeps what was learned of the probe's offset
// and the day's pressure: the pot is back on the heat, or more cream went in.
func (e *estimator) restart(at time.Duration) {}

// retarget sets another endpoint.
func (e *estimator) retarget(target probe.Celsius) { e.target = target }

// slope returns how fast the pot's temperature rises, in °C/min.
func (e *estimator) slope() (degCPerMin float64, ok bool) { return 0, false }

// now returns the filtered temperature of the pot, as this probe would read
// it with no lag, as of the last reading.
func (e *estimator) now() (probe.Celsius, bool) { return e.last, e.seen }

// forecast returns when the target arrives, counted from at, which is not
// before the last reading; or why there is no telling.
func (e *estimator) forecast(at time.Duration) (Forecast, Why) { return Forecast{}, WhyTooEarly }

// waterBoils returns water's boiling point on the corrected scale and its
// standard deviation.
func (e *estimator) waterBoils() (tC probe.Celsius, sd probe.Delta) { return 99.974, 3 }

// boiling returns how much the readings alone look like a boiling syrup that
// loses its water, 0–1.
func (e *estimator) boiling() (p float64) { return 0 }
