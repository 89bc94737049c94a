package plateau

import "math"

// astray reports whether a point lies too far from the line, r above it, to be
// drawn into it. A boiling syrup does not cool, so that what lies below is
// suspect sooner. In coarse steps an edge is passed a little early or late.
func astray(r float64, o observation, lineVariance float64) bool {
	sd := math.Sqrt(lineVariance + o.variance)
	switch {
	case r > 0:
		return r-o.half > max(straySD*sd, o.half)
	case o.half > 0:
		return -r-o.half > max(strayStepSD*sd, o.half/2)
	}
	return -r > strayDownSD*sd
}

// stray leaves a point out that is r from the line, which is too far: a spoon
// that stirs the cool rim in, a probe half out. The points just before were on
// their way already and go too. If the points stay away, either the heat was
// turned far enough for a quiet probe to show it at once, or the pot has
// jumped, and the line begins anew.
func (e *estimator) stray(p point, r float64) {
	e.ring.leave(e.ring.n - 1)
	if e.strays == 0 || e.strayDown != (r < 0) {
		e.strayed, e.strayDown, e.strayC = p.at, r < 0, float64(p.c)-r
		e.takeBack(strayLead)
	}
	e.strays++
	away := p.at - e.strayed
	patience := e.patience(r > 0)
	if r < 0 && float64(p.c) < e.strayC-fellSD*math.Sqrt(e.noise.variance()) {
		patience = math.Inf(1) // a syrup on less heat climbs more slowly, but does not cool
	}
	if away >= patience && e.strays%2 == 0 && e.turned(r) {
		return
	}
	if r > 0 {
		if away > dipS {
			e.beginAt(p.at-dipS/2, e.heat, heatSpread)
		}
		return
	}
	f, ok := e.meter.quick.fit()
	slope, _ := e.line.slope()
	if away < strayS || !ok || f.slope > 3*f.slopeSE+calmKPS+2*max(slope, 0) || f.slope < -3*f.slopeSE-calmKPS {
		return
	}
	e.belief = e.line.belief()
	heat, _ := e.line.heat()
	e.beginAt(p.at-dipS/2, max(heat, leastHeat), jumpSpread)
	e.changedAt = p.at
}

// missed reports whether readings are missing before the newest point, which
// stands dt after the one before: what is known of a dip is held back already.
func (e *estimator) missed(dt float64) bool {
	n := e.ring.n
	return dt > missedS && n > 2 && dt > 2*(e.ring.at(n-2).at-e.ring.at(n-3).at)
}

// upset notes that the readings at a time are left out, or that those of some
// seconds before it are missing. A heat that was suspected just before them of
// having been turned down was the beginning of a dip.
func (e *estimator) upset(at, missing float64) {
	e.upsetAt = at
	if r := &e.rival; r.since > 0 && r.dir < 0 && at-missing-r.since < dipS {
		e.rival = rival{}
		e.cusum.reset(at)
	}
}

// patience returns for how long points may stray before it means anything, s:
// a spoon's dip lasts, but nothing in a kitchen warms a probe for a moment.
func (e *estimator) patience(above bool) float64 {
	if above {
		return dipS / 2
	}
	return dipS + recoverLags*e.lag
}

// turned tries a turn of the heat as the explanation for points that stray by
// r now. It reports whether a line with such a turn runs through the last ones.
func (e *estimator) turned(r float64) bool {
	m := e.model()
	first := e.ring.after(max(e.strayed-strayLead-0.5, e.delayed.at))
	without := e.rerun(&e.changes, m).evidence // with the noise as it is known now
	for i := first; i < e.ring.n; i++ {
		e.ring.take(i)
	}
	tried := e.changes
	turn := unmarked(e.strayed-leadS, int(math.Copysign(1, r)))
	turn.floor = float32(e.heat) // enough to be seen at once
	tried.insert(turn)
	line := e.rerun(&tried, m)
	mean, variance := line.predicted()
	p := e.ring.last()
	sd := math.Sqrt(variance + e.noise.variance())
	fits := (line.evidence-without)/float64(e.ring.n-first) + math.Log(sd)
	if math.Abs(float64(p.c)-mean)-float64(p.half) > turnedSD*sd || fits < turnedFits {
		for i := first; i < e.ring.n; i++ {
			e.ring.leave(i)
		}
		return false
	}
	e.line, e.changes, e.changedAt = line, tried, p.at
	e.rival = rival{}
	e.strays, e.recover = 0, 0
	e.cusum.reset(p.at)
	e.swing(p.at, int(math.Copysign(1, r)))
	return true
}

// takeBack draws the line again without its last n points.
func (e *estimator) takeBack(n int) {
	for i := max(e.ring.n-1-n, 0); i < e.ring.n; i++ {
		if e.ring.at(i).at > e.delayed.at {
			e.ring.leave(i)
		}
	}
	at := e.line.at
	e.line = e.rerun(&e.changes, e.model())
	e.line.advance(at, e.model())
	if e.rival.since > 0 {
		e.redraw(e.model())
		e.rival.line.advance(at, e.model())
	}
}

const (
	straySD     = 4.0  // a point further above the line is left out,
	strayDownSD = 3.2  // below it,
	strayStepSD = 2.0  // and below it in coarse steps
	strayLead   = 2    // and so many before it
	fellSD      = 2.0  // so far below where it left the line is fallen
	leadS       = 4.0  // a turn has been under way this long before points stray from it
	dipS        = 14.0 // a spoon's dip is over by then, with the probe's lag
	turnedSD    = 2.5  // so close a turned line must run to the last point,
	turnedFits  = -3.0 // and so well, as a log-likelihood, to the others: a dip bends in ways that no line does
	strayS      = 40.0 // for so long at most, if the pot is calm by then
	calmKPS     = 0.01
	missedS     = 2.5 // s: longer from one point to the next is a gap in the readings
	tailSD      = 1.0 // the first point after one may be so far below the line
	recoverLags = 2.0 // a first-order probe has then 14 % of its way back left
	jumpSpread  = 0.4 // relative, of the heat after a jump
)
