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
	infers bool    // the pressure was not told
	heat   float64 // the heat expected of this batch, per second

	bin   bin
	ring  ring
	noise noise
	meter slopeMeter

	line    bank // as of the last full bin
	delayed bank // the same, delayS behind: from here a change found late is worked in
	changes changes
	rival   rival
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
	strayC      float64 // °C, the line there
	recover     float64 // s, until when the probe is still coming back from them
	upsetAt     float64 // s, when readings were last left out, or missing

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

// newEstimator returns an estimator that has seen nothing.
func newEstimator(cfg Config) estimator {
	e := estimator{
		target: float64(cfg.Target),
		lag:    secs(cfg.Lag),
		kappa:  usualKappa,
		heat:   usualHeat,
		noise:  newNoise(),
	}
	tw := 0.0
	if cfg.Pressure > 0 {
		tw = syrup.WaterBoils(cfg.Pressure)
	}
	if cfg.Batch.Known() {
		e.kappa, e.heat = cfg.Batch.line(e.target, cfg.Pressure)
	}
	e.infers = tw == 0
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
	heatSpread = 1.1   // relative
	heatDrift  = 0.003 // relative, per √s: 7 % in ten minutes, for losses and foam
	shapeDrift = 0.01  // K per √K: enough to keep the offset open, too little to follow a turned heat
	roughSD    = 0.1   // K, of a second's mean
	stepDoubt  = 4.0   // for coarse steps
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
	m := model{curve: theCurve(), kappa: e.kappa, drift: drift{heat: heatDrift, shape: shapeDrift}, shape: shapeShare, doubt: 1, noise: e.noise.variance()}
	if e.infers || e.noise.coarse() || m.noise > roughSD*roughSD {
		m.shape = shapeOpen
	}
	if e.noise.coarse() {
		m.doubt = stepDoubt // the seconds of one tread are not independent
	}
	return m
}

// observe takes one clean, corrected reading; bubbling noise is still in it.
func (e *estimator) observe(at time.Duration, c probe.Celsius) {
	t, v := secs(at)-e.lag, float64(c)
	if math.IsNaN(v) || math.IsInf(v, 0) || e.seen && t < e.last {
		return
	}
	e.noise.reading(v)
	e.last, e.lastC, e.seen = t, v, true
	if e.bin.over(t) {
		e.takeBin()
	}
	e.bin.add(t, v)
}

// boilBegan says that since at the whole pot boils after the last cream.
func (e *estimator) boilBegan(at time.Duration) {
	e.begin(secs(at) - e.lag)
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
		e.ring.take(i)
		p := e.ring.at(i)
		e.noise.mean(p.at, float64(p.c))
	}
	line := e.belief.bank()
	sd := math.Hypot(beginSD, e.noise.resolution()/2)
	if !line.begin(at, level, sd, heat, heat*spread, e.model()) {
		return
	}
	e.waiting, e.strays, e.recover = false, 0, 0
	e.beganAt, e.changedAt = at, 0
	e.changes, e.rival = changes{}, rival{}
	e.line, e.delayed = line, line
	e.line = e.rerun(&e.changes, e.model())
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
	t := max(secs(at), e.delayed.at)
	e.changes.insert(marked(t, dir))
	e.rival = rival{}
	e.line = e.rerun(&e.changes, m)
	e.cusum.reset(e.line.at)
	e.changedAt = t
	e.stale()
}

// gap says that readings stop, so that no line is drawn across what is missing.
func (e *estimator) gap(at time.Duration) {
	if e.bin.n > 0 {
		e.takeBin()
	}
	e.cusum.reset(e.line.at)
	e.rival = rival{}
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
	e.changes, e.rival = changes{}, rival{}
}

// retarget sets another endpoint.
func (e *estimator) retarget(target probe.Celsius) {
	e.target = float64(target)
	e.stale()
}
