package plateau

import (
	"math"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// estimator turns clean readings into a slope, the pot's temperature now, and
// the time at which the target arrives. It is a comparable value, like the
// [State] that holds it.
//
// All its times are on the pot's own clock: a first-order probe on a slow ramp
// shows what the pot was one time constant ago, so a reading at t is taken as
// the pot's at t − lag, and every answer is run on by the lag again.
type estimator struct {
	target float64 // °C
	lag    float64 // s
	kappa  float64 // per K
	heat   float64 // the heat expected of this batch, per second
	drift  drift

	bin   bin
	ring  ring
	noise noise
	meter slopeMeter

	line    bank // as of the last full bin
	delayed bank // the same, delayS behind: from here a change found late is worked in
	changes changes
	cusum   cusum
	belief  belief // what was held of water's boiling point before the line began

	waiting     bool    // the pot boils but no line could be begun yet
	swings      int     // unmarked changes of heat in a row that went to and fro
	swingDir    int     // the last one's direction
	swingAt     float64 // s
	cyclesUntil float64 // s, until when the hob is taken to switch on and off
	strays      int     // points in a row that were left out
	strayed     float64 // s, the first of them
	strayDown   bool    // below the line
	recover     float64 // s, until when the probe is still coming back from them

	last       float64 // s, time of the last reading
	lastC      float64 // °C
	seen       bool
	present    present // what the line and the meter say together
	looked     bool    // present is up to date
	answer     arrival // the forecast, from answeredAt on
	answeredAt float64
	fresh      bool // answer is up to date

	changedAt float64 // s, the last change of heat
	beganAt   float64 // s, the line's beginning
}

const delayS = 90.0

// newEstimator returns an estimator that has seen nothing.
func newEstimator(cfg Config) estimator {
	e := estimator{
		target: float64(cfg.Target),
		lag:    cfg.Lag.Seconds(),
		kappa:  usualKappa,
		heat:   usualHeat,
		drift:  drift{heat: heatDrift, shape: shapeDrift},
		noise:  newNoise(),
	}
	tw := 0.0
	if cfg.Pressure > 0 {
		tw = syrup.WaterBoils(cfg.Pressure)
	}
	if cfg.Batch.Known() {
		e.kappa, e.heat = cfg.Batch.line(e.target, cfg.Pressure)
	}
	e.line = newBank(tw)
	e.delayed = e.line
	e.belief = e.line.belief()
	return e
}

// Without a recipe: κ runs from 0.048 to 0.037 between 220 and 245 °F for
// cream caramels, and 600 W net under 400 g of sugar is 0.7 a minute.
const (
	usualKappa = 0.04
	usualHeat  = 0.7 / 60
	usualNetW  = 600
	heatSpread = 1.1 // relative
	heatDrift  = 0.003
	stepDoubt  = 2.5
	shapeDrift = 0.01
)

// line returns κ and the expected fall of the water ratio per second.
func (b Batch) line(targetC, pPa float64) (kappa, perS float64) {
	if pPa <= 0 {
		pPa = syrup.StandardPressure
	}
	mix := b.Melt.Add(b.Cream)
	if mix.Moles() <= 0 || mix.Water <= 0 {
		return usualKappa, usualHeat
	}
	pot := syrup.Boiling{Mix: mix, PotJK: b.PotJK, PressurePa: pPa, PowerW: usualNetW}
	kappa, perS = pot.Kappa(targetC), pot.Rate(targetC)
	if !(kappa > 0.01 && kappa < 0.15 && perS > 0 && perS < 1) {
		return usualKappa, usualHeat
	}
	return kappa, perS
}

// model returns what a bank needs to run on.
func (e *estimator) model() model {
	m := model{curve: theCurve(), kappa: e.kappa, drift: e.drift, doubt: 1}
	if e.noise.coarse() {
		m.doubt = stepDoubt // the seconds of one tread are not independent
	}
	return m
}

// observe takes one clean, corrected reading; bubbling noise is still in it.
func (e *estimator) observe(at time.Duration, c probe.Celsius) {
	t, v := at.Seconds()-e.lag, float64(c)
	if math.IsNaN(v) || math.IsInf(v, 0) || e.seen && t < e.last {
		return
	}
	e.noise.reading(v)
	e.last, e.lastC, e.seen = t, v, true
	if full, ok := e.bin.add(t, v); ok {
		e.take(full)
	}
}

// take works a full bin in.
func (e *estimator) take(b bin) {
	at, mean := b.second+b.t/b.n, b.c/b.n
	half := e.noise.half(b)
	if half > 0 {
		mean = (b.low + b.top) / 2
	}
	e.meter.add(at, mean)
	e.noise.mean(at, mean)
	p := point{at: at, c: float32(mean), half: float32(half)}
	e.ring.push(p)
	e.looked = false
	e.fresh = e.fresh && at-e.answeredAt < answerEvery && e.strays == 0
	if e.waiting {
		e.begin(at)
		return
	}
	if e.line.running && at > e.line.at {
		e.follow(p)
	}
}

// follow draws the line on by one point and watches what it leaves over.
func (e *estimator) follow(p point) {
	m := e.model()
	dt := p.at - e.line.at
	e.turn(&e.line, p.at, m)
	e.line.advance(p.at, m)
	mean, variance := e.line.predicted()
	o := e.observation(p)
	move, _, _ := o.update(mean, variance+o.variance)
	z := move / math.Sqrt(variance+o.variance)
	if astray(float64(p.c)-mean, o, variance) {
		e.stray(p, float64(p.c)-mean)
		return
	}
	if e.strays > 0 {
		e.strays, e.recover = 0, p.at+recoverLags*e.lag+1
	}
	if p.at < e.recover {
		e.ring.last().leave()
		return
	}
	e.line.observe(o)
	if p.half == 0 && dt < gapS && e.line.settled() {
		e.noise.residual(float64(p.c)-mean, variance)
	}
	e.trail(m)
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

// knee looks for a line that slows down soon after it began, and begins it anew
// where it has slowed. Under steady heat a syrup that boils only ever climbs
// faster, so this was a pot on its way to the boil.
func (e *estimator) knee() bool {
	var early, late leastSquares
	for i := e.ring.after(e.beganAt - 0.01); i < e.ring.n; i++ {
		p := e.ring.at(i)
		if p.stray() {
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

// stray leaves a point out that is r from the line, which is too far: a spoon
// that stirs the cool rim in, a probe half out. The points just before were on
// their way already and go too. If the points stay away, either the heat was
// turned far enough for a quiet probe to show it at once, or the pot has
// jumped, and the line begins anew.
func (e *estimator) stray(p point, r float64) {
	e.ring.last().leave()
	if e.strays == 0 || e.strayDown != (r < 0) {
		e.strayed, e.strayDown = p.at, r < 0
		e.takeBack(strayLead)
	}
	e.strays++
	away := p.at - e.strayed
	patience := dipS
	if r > 0 {
		patience = dipS / 2 // nothing in a kitchen warms a probe for a moment
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
	if away < strayS || !ok || math.Abs(f.slope) > 3*f.slopeSE+calmKPS {
		return
	}
	e.belief = e.line.belief()
	heat, _ := e.line.heat()
	e.beginAt(p.at-dipS/2, max(heat, leastHeat), jumpSpread)
	e.changedAt = p.at
}

// turned tries a turn of the heat as the explanation for points that stray by
// r now. It reports whether a line with such a turn runs through the last ones.
func (e *estimator) turned(r float64) bool {
	m := e.model()
	first := e.ring.after(max(e.strayed-strayLead-0.5, e.delayed.at))
	for i := first; i < e.ring.n; i++ {
		e.ring.at(i).take()
	}
	tried := e.changes
	turn := unmarked(e.strayed-leadS, int(math.Copysign(1, r)))
	turn.floor = e.heat // enough to be seen at once
	tried.insert(turn)
	line := e.rerun(tried, m)
	mean, variance := line.predicted()
	p := e.ring.last()
	if math.Abs(float64(p.c)-mean)-float64(p.half) > turnedSD*math.Sqrt(variance+e.noise.variance()) {
		for i := first; i < e.ring.n; i++ {
			e.ring.at(i).leave()
		}
		return false
	}
	e.line, e.changes, e.changedAt = line, tried, p.at
	e.strays, e.recover = 0, 0
	e.cusum.reset(p.at)
	e.swing(p.at, int(math.Copysign(1, r)))
	return true
}

// takeBack draws the line again without its last n points.
func (e *estimator) takeBack(n int) {
	for i := max(e.ring.n-1-n, 0); i < e.ring.n; i++ {
		if p := e.ring.at(i); p.at > e.delayed.at {
			p.leave()
		}
	}
	at := e.line.at
	e.line = e.rerun(e.changes, e.model())
	e.line.advance(at, e.model())
}

const (
	settleS       = 15.0 // a line is this old before its residuals mean anything
	earlyS        = 60.0 // a line that bends so soon began too early
	leadS         = 4.0  // a turn has been under way this long before points stray from it
	proofNat      = 12.0 // log-likelihood that a change of heat must gain
	straySD       = 4.0  // a point further above the line is left out,
	strayDownSD   = 3.2  // below it,
	strayStepSD   = 2.0  // and below it in coarse steps
	strayLead     = 2    // and so many before it
	dipS          = 14.0 // a spoon's dip is over by then, with the probe's lag
	turnedSD      = 2.5  // so close a turned line must run
	strayS        = 40.0 // for so long at most, if the pot is calm by then
	calmKPS       = 0.01
	recoverLags   = 2.0   // a first-order probe has then 14 % of its way back left
	slowestCycleS = 60.0  // period of the slowest hob that switches on and off
	swingsOfCycle = 2     // turns to and fro that make a cycle
	cyclesFor     = 240.0 // s, from when it was last seen to cycle
	jumpSpread    = 0.4   // relative, of the heat after a jump
)

// observation returns the point as the line takes it. At first the probe and
// the pan are still on their way to the boil, and say less.
func (e *estimator) observation(p point) observation {
	unsettled := beginSD * math.Exp((e.beganAt-p.at)/(e.lag+beginS))
	return observation{mean: float64(p.c), half: float64(p.half), variance: e.noise.variance() + unsettled*unsettled}
}

// alarm tries a change of heat at or before the moment since which the
// residuals have been running away, and keeps the one that explains what was
// seen best, if any does so much better than the line as it was.
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
	kept := e.line
	kept.evidence += proofNat
	var with changes
	for _, lead := range [...]float64{2, 12, 26} {
		tried := e.changes
		tried.insert(unmarked(since-lead, dir))
		if line := e.rerun(tried, m); line.evidence > kept.evidence {
			kept, with = line, tried
		}
	}
	if with.n == 0 {
		e.cusum.doubt()
		return
	}
	e.line, e.changes, e.changedAt = kept, with, at
	e.cusum.reset(at)
	e.swing(at, dir)
}

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
	e.changes = changes{}
	e.line = e.rerun(e.changes, e.model())
	e.cusum.reset(at)
}

// rerun draws the line again from the delayed copy on.
func (e *estimator) rerun(c changes, m model) bank {
	line := e.delayed
	kept := e.changes
	e.changes = c
	for i := e.ring.after(line.at); i < e.ring.n; i++ {
		e.pass(&line, *e.ring.at(i), m)
	}
	e.changes = kept
	return line
}

// pass takes a point, after the changes of heat that came before it.
func (e *estimator) pass(b *bank, p point, m model) {
	e.turn(b, p.at, m)
	b.advance(p.at, m)
	if !p.stray() {
		b.observe(e.observation(p))
	}
}

// turn lets go of the heat for each change after the bank's time and up to
// until. A change at the very time is one that [estimator.heatChanged] put
// there because it came too late.
func (e *estimator) turn(b *bank, until float64, m model) {
	for _, c := range e.changes.c[:e.changes.n] {
		if c.at >= b.at && c.at <= until {
			b.advance(c.at, m)
			b.open(c.factor, c.spread, c.floor)
		}
	}
}

// trail takes the delayed copy on to delayS behind the line.
func (e *estimator) trail(m model) {
	until := e.line.at - delayS
	for i := e.ring.after(e.delayed.at); i < e.ring.n; i++ {
		p := *e.ring.at(i)
		if p.at > until && i > 1 { // the ring's oldest points are about to be lost
			return
		}
		e.pass(&e.delayed, p, m)
		e.changes.before(p.at)
	}
}

// boilBegan says that since at the whole pot boils after the last cream.
func (e *estimator) boilBegan(at time.Duration) {
	e.begin(at.Seconds() - e.lag)
}

// begin starts the line at time at, or as soon as the pot is hot enough, and
// takes in the points since.
func (e *estimator) begin(at float64) {
	e.beginAt(at, e.heat, heatSpread)
}

// beginAt starts the line with the heat expected to be heat, give or take
// spread·heat.
func (e *estimator) beginAt(at, heat, spread float64) {
	e.waiting = true
	e.stale()
	if e.ring.n == 0 {
		return
	}
	first := min(e.ring.after(at-beginS/2), e.ring.n-1)
	at = max(e.ring.at(first).at, at)
	level := e.ring.median(first, at+beginS/2)
	e.noise.anew()
	for i := first; i < e.ring.n; i++ {
		p := e.ring.at(i)
		p.take()
		e.noise.mean(p.at, float64(p.c))
	}
	line := e.belief.bank()
	sd := math.Hypot(beginSD, e.noise.resolution()/2)
	if !line.begin(at, level, sd, heat, heat*spread, e.model()) {
		return
	}
	e.waiting, e.strays, e.recover = false, 0, 0
	e.beganAt, e.changedAt = at, 0
	e.changes = changes{}
	e.line, e.delayed = line, line
	e.line = e.rerun(e.changes, e.model())
	e.cusum.reset(e.line.at)
}

const (
	beginS  = 6.0 // the readings around the beginning that give its level
	beginSD = 0.4 // K, of that level
)

// heatChanged says that the cook turned the heat at the given time: dir is −1
// for down and +1 for up.
func (e *estimator) heatChanged(at time.Duration, dir int) {
	if !e.line.running {
		return
	}
	m := e.model()
	// The mark is on the cook's clock, and the pot feels the hob without the
	// probe's lag.
	t := max(at.Seconds(), e.delayed.at)
	e.changes.insert(marked(t, dir))
	e.line = e.rerun(e.changes, m)
	e.cusum.reset(e.line.at)
	e.changedAt = t
	e.stale()
}

// gap says that readings stop, so that no line is drawn across what is missing.
func (e *estimator) gap(at time.Duration) {
	if e.bin.n > 0 {
		full := e.bin
		e.bin = bin{}
		e.take(full)
	}
	e.cusum.reset(e.line.at)
}

// restart forgets the line and keeps what was learned of the probe's offset
// and the day's pressure: the pot is back on the heat, or more cream went in.
func (e *estimator) restart(at time.Duration) {
	e.gap(at)
	if e.line.running {
		e.belief = e.line.belief()
	}
	e.line = e.belief.bank()
	e.delayed = e.line
	e.waiting = false
	e.stale()
	e.changes = changes{}
}

// retarget sets another endpoint.
func (e *estimator) retarget(target probe.Celsius) {
	e.target = float64(target)
	e.stale()
}
