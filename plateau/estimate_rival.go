package plateau

import "math"

// rival is a second line with an unmarked turn of the heat in it that the first
// one does not have. From the moment a turn is suspected until one of the two
// has won, both are drawn on and the forecast asks both, each as far as it is
// believed: the answer moves over to the new heat as the proof comes in, and a
// suspicion that comes to nothing does not make it jump.
type rival struct {
	line  bank
	turn  change
	dir   int     // −1 the heat was turned down, +1 up
	since float64 // s, when it was suspected, 0 for no rival
	onset float64 // s, since when the readings had been running away then
	tried float64 // s, when the time of the turn was last searched for
}

// Log-likelihoods that a turn of the heat must gain on the line without one.
// A turn somewhere in the last half minute is not likely beforehand, and what a
// line leaves over is not quite independent from one second to the next, so
// that the gain counts a third of its worth.
const (
	evenNats   = 6.0 // both are believed alike
	natsPerLog = 2.0
	proofNats  = 12.0 // the turn has won
	lostNats   = 1.0  // it has lost, if it was given its time
	rivalS     = 15.0 // that time
	rivalMost  = 55.0 // s: the longest doubt; the turn is still ahead of the delayed line then
	searchS    = 10.0 // between two searches for the time of the turn
	dipTurn    = 0.15 // share of falls that are turns: a pot is stirred far more often
)

// believed returns how far the rival is believed, 0–1.
func (e *estimator) believed() float64 {
	if e.rival.since == 0 {
		return 0
	}
	p := 1 / (1 + math.Exp((evenNats-e.gained())/natsPerLog))
	if e.mayDip() {
		return min(p, dipTurn)
	}
	return p
}

// mayDip reports whether a spoon that stirs the cool rim in would still look
// like a heat turned down: until the probe should be back from it.
func (e *estimator) mayDip() bool {
	return e.rival.dir < 0 && e.line.at-e.rival.onset < dipS+recoverLags*e.lag
}

// gained returns how much more likely the rival makes what was seen.
func (e *estimator) gained() float64 { return e.rival.line.evidence - e.line.evidence }

// suspect tries a turn of the heat at or before the moment since which the
// residuals have been running away, and takes the one that explains what was
// seen best for the rival. It reports whether there is one.
func (e *estimator) suspect(at, since float64, dir int, m model) bool {
	r := &e.rival
	if r.since > 0 && (at-r.tried < searchS || dir != r.dir) {
		return true
	}
	trials := [...]trial{e.trial(since-2, dir), e.trial(since-12, dir), e.trial(since-26, dir)}
	e.line = e.branch(trials[:], m) // with the noise as it is known now, so that the two compare
	if r.since > 0 {
		e.redraw(m)
	}
	best := e.line.evidence
	if r.since > 0 {
		best = max(best, r.line.evidence)
	}
	for i := range trials {
		t := &trials[i]
		if !t.met {
			continue
		}
		if e.through(&t.line, t.from, &t.changes, m); t.line.evidence > best {
			best = t.line.evidence
			r.line, r.turn, r.dir = t.line, t.turn, dir
			if r.since == 0 {
				r.since, r.onset = at, since
			}
		}
	}
	r.tried = at
	return r.since > 0
}

// trial is a change of heat that may have happened, and the line up to it.
type trial struct {
	turn    change
	changes changes // with the turn
	at      float64 // s, from when they differ from the line's
	line    bank    // as of the last point before it
	from    int     // the first point after it
	met     bool    // the delayed copy is not past it
}

// trial returns the trial of an unmarked change at time at.
func (e *estimator) trial(at float64, dir int) trial {
	t := trial{turn: unmarked(at, dir), changes: e.changes, at: at}
	t.changes.insert(t.turn)
	if e.changes.n == len(e.changes.c) { // it takes another one's place, which may have come earlier
		t.at = min(at, e.changes.c[e.changes.n-1].at)
	}
	return t
}

// branch draws the line again as [estimator.rerun] does, and leaves a copy with
// each trial where its way parts from the line's, since there is no need to draw
// the common part again for each.
func (e *estimator) branch(trials []trial, m model) bank {
	line := e.delayed
	for i := e.ring.after(line.at); i < e.ring.n; i++ {
		p := e.ring.at(i)
		for k := range trials {
			if t := &trials[k]; !t.met && t.at >= line.at && t.at <= p.at {
				t.line, t.from, t.met = line, i, true
			}
		}
		e.pass(&line, p, &e.changes, m, true)
	}
	return line
}

// redraw draws the rival again from the delayed line on.
func (e *estimator) redraw(m model) {
	tried := e.changes
	tried.insert(e.rival.turn)
	e.rival.line = e.rerun(&tried, m)
}

// contend draws the rival on by a point and settles the matter once it can be.
func (e *estimator) contend(at float64, o observation) {
	r := &e.rival
	if r.since == 0 {
		return
	}
	r.line.observe(o, true)
	gain, age := e.gained(), at-r.since
	switch {
	case gain > proofNats && !e.mayDip(), age > rivalMost && gain > evenNats:
		e.concede(at)
	case age > rivalMost, age > rivalS && gain < lostNats:
		e.rival = rival{}
		e.cusum.doubt()
	}
}

// concede puts the rival in the line's place.
func (e *estimator) concede(at float64) {
	r := e.rival
	e.rival = rival{}
	e.line, e.changedAt = r.line, at
	e.changes.insert(r.turn)
	e.cusum.reset(at)
	e.swing(at, r.dir)
}

// mixed returns the mean and variance of a quantity that the line has with
// mean a and variance va and the rival with b and vb.
func mixed(believed, a, va, b, vb float64) (mean, variance float64) {
	apart := b - a
	return a + believed*apart, (1-believed)*va + believed*vb + believed*(1-believed)*apart*apart
}
