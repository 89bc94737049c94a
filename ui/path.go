package ui

import (
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// path draws a forecast on: how warm the pot will be on its way from now to
// the target. On the stall it bends as the boiling point of a syrup does
// whose water falls along a straight line; by the slope it is straight.
type path struct {
	from, to probe.Celsius
	z0, z1   float64 // mol water per mol solute at either end
	pressure float64
	bent     bool
	eta      time.Duration
	low      time.Duration
	high     time.Duration
}

func newPath(now, target probe.Celsius, pressure float64, f plateau.Forecast) path {
	p := path{from: now, to: target, pressure: pressure, eta: f.ETA, low: f.Low, high: f.High}
	if p.pressure == 0 {
		p.pressure = syrup.StandardPressure
	}
	p.z0 = syrup.WaterRatio(float64(now), p.pressure)
	p.z1 = syrup.WaterRatio(float64(target), p.pressure)
	p.bent = f.By == plateau.ByStallLine && !math.IsInf(p.z0, 0) && p.z1 > 0 && p.z0 > p.z1
	return p
}

// at returns the temperature a while from now if the whole way takes eta, and
// NaN after the arrival.
func (p path) at(after, eta time.Duration) float64 {
	if after < 0 || after > eta {
		return math.NaN()
	}
	f := 1.0
	if eta > 0 {
		f = float64(after) / float64(eta)
	}
	if p.bent {
		return syrup.SyrupBoils(p.z0+f*(p.z1-p.z0), p.pressure)
	}
	return float64(p.from) + f*float64(p.to-p.from)
}

// fan returns the interval's edges a while from now: the pot is not warmer
// than hi nor colder than lo, four times in five.
func (p path) fan(after time.Duration) (lo, hi float64) {
	if after < 0 || after > p.high {
		return math.NaN(), math.NaN()
	}
	hi = p.at(after, p.low)
	if math.IsNaN(hi) {
		hi = float64(p.to)
	}
	return p.at(after, p.high), hi
}
