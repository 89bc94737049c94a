package plateau

import (
	"math"

	"boildown/probe"
)

// present is what the line and the meter of the plain readings say together about
// the present. It is worked out once a bin.
type present struct {
	ok        bool
	at        float64 // s, on the pot's own clock
	c         float64 // °C
	slope     float64 // °C/s
	water     float64 // °C, where water boils, where the line must tell it
	waterSD   float64 // K
	meter     fit     // the readings alone, brought to the same time
	apart     float64 // how far the two slopes are apart, in standard deviations
	lineHolds bool    // there is a line, and the readings follow it
}

// stale says that something was told that changes every answer.
func (e *estimator) stale() { e.looked, e.fresh = false, false }

// look brings the present up to date.
func (e *estimator) look() *present {
	if e.looked {
		return &e.present
	}
	e.looked = true
	v := &e.present
	*v = present{at: e.meter.at}
	if e.infers {
		v.water, v.waterSD = e.line.waterBoils()
	}
	v.meter, v.ok = e.meter.fit()
	step := e.noise.resolution() // the scatter about a tread tells nothing of the staircase
	v.meter.levelSE = math.Hypot(v.meter.levelSE, step/4)
	v.meter.slopeSE = math.Hypot(v.meter.slopeSE, step/2/slowFadeS)
	v.c, v.slope = v.meter.level, v.meter.slope
	if !e.line.running {
		return v
	}
	line, lineVar := e.line.predicted()
	slope, sd := e.line.slope()
	if p := e.believed(); p > 0 {
		level, levelVar := e.rival.line.predicted()
		turned, turnedSD := e.rival.line.slope()
		line, lineVar = mixed(p, line, lineVar, level, levelVar)
		var variance float64
		slope, variance = mixed(p, slope, sd*sd, turned, turnedSD*turnedSD)
		sd = math.Sqrt(variance)
	}
	v.apart = math.Abs(slope-v.meter.slope) / math.Sqrt(sd*sd+v.meter.slopeSE*v.meter.slopeSE+leastSlopeSD*leastSlopeSD)
	v.lineHolds = e.strays == 0 || e.strayDown && v.at-e.strayed < dipS
	if !v.lineHolds && v.ok {
		return v
	}
	if !v.ok {
		*v = present{ok: true, at: e.line.at, c: line, slope: slope, water: v.water, waterSD: v.waterSD, lineHolds: true}
		return v
	}
	// The two see the same readings, so that weighing them by their variances
	// only makes neither count where the other is surer.
	a, b := lineVar+1e-6, v.meter.levelSE*v.meter.levelSE+1e-6
	line += slope * (v.at - e.line.at)
	v.c = (line*b + v.meter.level*a) / (a + b)
	a, b = sd*sd+1e-10, v.meter.slopeSE*v.meter.slopeSE+1e-10
	v.slope = (slope*b + v.meter.slope*a) / (a + b)
	return v
}

// leastSlopeSD keeps two slopes that are both very sure from being far apart
// over nothing: 0.06 °C/min.
const leastSlopeSD = 0.001

// slope returns how fast the pot's temperature rises, in °C/min.
func (e *estimator) slope() (degCPerMin float64, ok bool) {
	v := e.look()
	return v.slope * 60, v.ok
}

// now returns the filtered temperature of the pot, as this probe would read it
// with no lag, as of the last reading.
func (e *estimator) now() (probe.Celsius, bool) {
	v := e.look()
	if !v.ok {
		return probe.Celsius(e.lastC), e.seen
	}
	return probe.Celsius(v.c + v.slope*(e.last+e.lag-v.at)), true
}

// waterBoils returns water's boiling point on the corrected scale and its
// standard deviation, where the pressure was not told.
func (e *estimator) waterBoils() (tC probe.Celsius, sd probe.Delta) {
	v := e.look()
	return probe.Celsius(v.water), probe.Delta(v.waterSD)
}
