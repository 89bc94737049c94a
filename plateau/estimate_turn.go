package plateau

import "math"

// alarm looks into residuals that have been running away since a moment: the
// line began too early, the hob is switching on and off, or the heat was turned.
func (e *estimator) alarm(at, since float64, dir int, m model) {
	if dir < 0 && since-e.beganAt < earlyS { // it was not at the boil yet, or not quite
		e.beginAt(since, e.heat, heatSpread)
		return
	}
	if at < e.cyclesUntil && at-since < slowestCycleS {
		e.cyclesUntil = max(e.cyclesUntil, at+cyclesFor/2)
		e.cusum.doubt()
		return
	}
	if !e.suspect(at, since, dir, m) {
		e.cusum.doubt()
	}
}

const (
	earlyS = 60.0 // a line that bends so soon began too early
)

// swing takes note of an unmarked change of heat. When such changes keep going
// to and fro within a minute it is a hob that switches on and off: then its
// saw-tooth is so much noise about the line of the mean heat, which is drawn
// again as if nobody had turned anything.
func (e *estimator) swing(at float64, dir int) {
	if dir == -e.swingDir && at-e.swingAt < slowestCycleS {
		e.swings++
	} else {
		e.swings = 0
	}
	e.swingAt, e.swingDir = at, dir
	e.noise.cycling = at < e.cyclesUntil
	if e.swings < swingsOfCycle {
		return
	}
	e.swings = 0
	e.cyclesUntil = at + cyclesFor
	e.noise.cycles()
	e.changes, e.rival = changes{}, rival{}
	e.line = e.rerun(&e.changes, e.model())
	e.cusum.reset(at)
}

const (
	slowestCycleS = 60.0  // period of the slowest hob that switches on and off
	swingsOfCycle = 2     // turns to and fro that make a cycle
	cyclesFor     = 240.0 // s, from when it was last seen to cycle
)

// knee looks for a line that slows down soon after it began, and begins it anew
// where it has slowed. Under steady heat a syrup that boils only ever climbs
// faster, so this was a pot on its way to the boil.
func (e *estimator) knee() bool {
	var early, late leastSquares
	for i := e.ring.after(e.beganAt - 0.01); i < e.ring.n; i++ {
		p := e.ring.at(i)
		if p.stray {
			continue
		}
		if p.at > e.line.at-kneeS {
			late.add(p.at-e.line.at, float64(p.c), 1)
		} else if p.at < e.beganAt+kneeS {
			early.add(p.at-e.beganAt, float64(p.c), 1)
		}
	}
	a, ok := early.fit()
	b, okb := late.fit()
	if !ok || !okb {
		return false
	}
	step := kneeStep * e.noise.resolution() / kneeS // what a staircase may feign
	sd := math.Sqrt(e.noise.variance()*(1/early.spread()+1/late.spread()) + 2*step*step)
	if a.slope-b.slope < kneeSD*sd || a.slope < kneeTimes*b.slope {
		return false
	}
	e.beginAt(e.line.at-kneeS, e.heat, heatSpread)
	return true
}

const (
	kneeS     = 28.0  // length of the stretches that are compared
	kneeAge   = 180.0 // s: later on it is the heat that was turned
	kneeSD    = 3.5
	kneeStep  = 0.5
	kneeTimes = 1.6
)
