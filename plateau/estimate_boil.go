package plateau

import "math"

// level remembers the stretch over which the readings have looked like a
// boiling syrup: nearly flat, and as hot as a syrup can boil.
type level struct {
	on        bool
	since     float64 // s, its beginning
	n, bottom float64 // bins averaged at its beginning, and their mean
	rise, se  float64 // K risen since, and the standard error of that
	above     float64 // K over water's boiling point, where the pressure is known
}

// Readings alone cannot tell a syrup that boils from plain water, or from
// anything that keeps warm, except by two signs: it stands clearly above
// water's boiling point, or it creeps up as its water goes.
const (
	bottomBins  = 12.0
	boilForS    = 45.0      // the stretch must last this long
	clearlyK    = 2.5       // over water's boiling point, more than a bad probe in odd weather shows
	creepSE     = 4.0       // standard errors that a creep must reach
	creepK      = 0.12      // K, and at least this
	hottestHeat = 2.5 / 60  // per second: what climbs faster than this is no kitchen boil
	coolingKPS  = -0.2 / 60 // K/s: what falls faster than this is not boiling away
	coldestBoil = 88.0      // °C, at 3000 m with a probe that reads low
	hottestBoil = 140.0     // °C
)

// watch takes the meter's latest fit into the level.
func (e *estimator) watch(at float64) {
	f, ok := e.meter.fit()
	if !ok || !e.mayBoil(f) {
		e.level = level{}
		return
	}
	l := &e.level
	if !l.on || at-e.meter.at > gapS {
		*l = level{on: true, since: at}
	}
	if l.n < bottomBins {
		l.n++
		l.bottom += (f.level - l.bottom) / l.n
	}
	l.rise = f.level - l.bottom
	sd := math.Sqrt(e.noise.variance())
	l.se = math.Hypot(f.levelSE, math.Max(sd, e.noise.resolution()/4)/math.Sqrt(bottomBins))
}

// mayBoil reports whether a fit of the latest readings could be a syrup's.
func (e *estimator) mayBoil(f fit) bool {
	if f.level < coldestBoil || f.level > hottestBoil || f.slope < coolingKPS-2*f.slopeSE {
		return false
	}
	tw, sd := e.line.waterBoils()
	if sd > 1 {
		tw = f.level - 8 // unknown: take it for as far up as a fast boil may be
	}
	x := max(f.level-tw, leastRise)
	if f.level-tw < -1.5 {
		return false
	}
	e.level.above = 0
	if sd <= 1 {
		e.level.above = f.level - tw
	}
	c := theCurve()
	l := c.lnRatio(x, tw)
	_, perLn := c.rise(l, tw)
	perV := -perLn / (math.Exp(l) - e.kappa*perLn)
	return f.slope-2*f.slopeSE < hottestHeat*max(perV, 0.3)
}

// boiling returns how much the readings alone look like a boiling syrup that
// loses its water, 0–1. It passes ½ when the stretch has lasted long enough
// and shows one of the two signs.
func (e *estimator) boiling() (p float64) {
	l := &e.level
	if !l.on {
		return 0
	}
	lasted := min((e.meter.at-l.since)/boilForS, 1)
	need := max(creepSE*l.se, creepK, 1.2*e.noise.resolution())
	sign := min(max(l.rise, 0)/need, 1)
	if l.above > clearlyK {
		sign = 1
	}
	return lasted * sign
}
