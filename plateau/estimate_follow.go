package plateau

import "math"

// takeBin works the full bin in and empties it.
func (e *estimator) takeBin() {
	b := e.bin
	e.bin = bin{}
	at, mean := b.second+b.t/b.n, b.c/b.n
	half := e.noise.half(b)
	if half > 0 {
		mean = (b.low + b.top) / 2
	}
	e.meter.add(at, mean)
	e.noise.mean(at, mean)
	e.ring.push(point{at: at, c: float32(mean), half: float32(half)})
	p := e.ring.last()
	e.looked = false
	e.fresh = e.fresh && e.strays == 0 && at-e.answeredAt < e.lasts()
	if e.waiting {
		e.begin(at)
		return
	}
	if e.line.running && p.at > e.line.at {
		e.follow(p)
	}
}

// lasts returns for how many seconds an answer runs on by the clock.
func (e *estimator) lasts() float64 {
	if e.rival.since > 0 || e.answer.why != WhyNot {
		return answerEvery
	}
	return max(answerEvery, answerShare*e.answer.low)
}

// follow draws the line on by one point and watches what it leaves over.
func (e *estimator) follow(p point) {
	m := e.model()
	dt := p.at - e.line.at
	e.trail(m)
	e.changes.turn(&e.line, p.at, m)
	e.line.advance(p.at, m)
	if e.rival.since > 0 {
		e.rival.line.advance(p.at, m)
	}
	mean, variance := e.line.predicted()
	o := e.observation(p, m)
	move, _, _ := o.update(mean, variance+o.variance)
	z := move / math.Sqrt(variance+o.variance)
	missed := e.missed(dt)
	if missed {
		e.upset(p.at, dt)
	}
	if astray(float64(p.c)-mean, o, variance) {
		e.upset(p.at, 0)
		e.stray(p, float64(p.c)-mean)
		return
	}
	if e.strays > 0 {
		e.strays, e.recover = 0, p.at+recoverLags*e.lag+1
	}
	if missed && z < -tailSD { // what was missing was a dip, and this is its end
		e.recover = p.at + recoverLags*e.lag + 1
	}
	if p.at < e.recover {
		e.ring.leave(e.ring.n - 1)
		return
	}
	e.line.observe(o, e.rival.since > 0)
	e.contend(p.at, o)
	if p.half == 0 && dt < gapS && e.line.settled() {
		e.noise.residual(float64(p.c)-mean, variance)
	}
	if p.at-e.beganAt < kneeAge && e.ring.n%4 == 0 && e.knee() {
		return
	}
	if p.at-e.beganAt < settleS {
		e.cusum.reset(p.at)
		return
	}
	if dir, since := e.cusum.add(p.at, z); dir != 0 {
		e.alarm(p.at, since, dir, m)
	}
}

const settleS = 15.0 // a line is this old before its residuals mean anything

// observation returns the point as the line takes it. At first the probe and
// the pan are still on their way to the boil, and say less.
func (e *estimator) observation(p point, m model) observation {
	o := observation{mean: float64(p.c), half: float64(p.half), variance: m.noise}
	if age := (p.at - e.beganAt) / (e.lag + beginS); age < 25 { // then it is less than can be told
		unsettled := beginSD * exp(-age)
		o.variance += unsettled * unsettled
	}
	return o
}

// rerun draws the line again from the delayed copy on.
func (e *estimator) rerun(c *changes, m model) bank {
	line := e.delayed
	e.through(&line, e.ring.after(line.at), c, m)
	return line
}

// through draws a line on through the points from the i-th oldest.
func (e *estimator) through(line *bank, i int, c *changes, m model) {
	for ; i < e.ring.n; i++ {
		e.pass(line, e.ring.at(i), c, m, true)
	}
}

// pass takes a point, after the changes of heat that came before it.
func (e *estimator) pass(b *bank, p point, c *changes, m model, testify bool) {
	c.turn(b, p.at, m)
	b.advance(p.at, m)
	if !p.stray {
		b.observe(e.observation(p, m), testify)
	}
}

// turn lets go of the heat for each change after the bank's time and up to
// until. A change at the very time is one that [estimator.heatChanged] put
// there because it came too late.
func (s *changes) turn(b *bank, until float64, m model) {
	for i := range s.c[:s.n] {
		if c := &s.c[i]; c.at >= b.at && c.at <= until {
			b.advance(c.at, m)
			b.open(c.factor, c.spread, c.floor)
		}
	}
}

// delayS is how far the delayed copy of the line stays behind, s. A change found
// later than that is worked in from there.
const delayS = 90.0

// trail takes the delayed copy on to delayS behind the line. What it passes is
// no evidence: all lines that are weighed against each other begin there.
func (e *estimator) trail(m model) {
	until := e.line.at - delayS
	for i := e.ring.after(e.delayed.at); i < e.ring.n; i++ {
		p := e.ring.at(i)
		if p.at > until && i > 1 { // the ring's oldest points are about to be lost
			return
		}
		e.pass(&e.delayed, p, &e.changes, m, false)
		e.changes.before(p.at)
	}
}
