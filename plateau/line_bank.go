package plateau

import "math"

// bank is a mixture of hypotheses about water's boiling point on this probe's
// scale, which absorbs the altitude, the day's weather and the probe's offset
// alike. Where the readings tell them apart, the mixture narrows; where not,
// it stays what was known beforehand, and the forecast's spread says so.
type bank struct {
	at       float64 // s, on the pot's own clock: the probe's lag is taken off
	opened   float64 // s, when the line began or the heat was last let go
	running  bool    // a line has begun
	evidence float64 // log-likelihood of what was observed, as far as it is asked for
	hyp      [bankSize]hypothesis
}

const bankSize = 10

// model is what a bank needs to know to run on. It is made anew for each use
// and never kept.
type model struct {
	curve *boilingCurve
	kappa float64
	drift drift
	shape float64 // the curve's shape is in doubt by this share of the way
	doubt float64 // what the lines' variances are multiplied by before they are told
	noise float64 // variance of a point's mean, K²
}

// guess is where one hypothesis of a new bank puts water's boiling point: an
// interval of the prior, as a Gaussian.
type guess struct{ c, sd, width float64 }

// Water's boiling point where the pressure is unknown: anywhere from 3000 m to
// a warm probe by the sea, more likely low than high, since most kitchens are.
var unknown = [bankSize]guess{
	{89.6, 1, 2}, {91.6, 1, 2}, {93.6, 1, 2}, {95.4, 0.8, 1.6}, {96.8, 0.6, 1.2},
	{97.9, 0.5, 1}, {98.8, 0.42, 0.85}, {99.6, 0.4, 0.8}, {100.45, 0.45, 0.9}, {101.6, 0.7, 1.4},
}

const (
	unknownRange = 14.0 // K
	lowlandC     = 99.4
	lowlandSD    = 1.3
	lowlandShare = 0.5
)

// Water's boiling point where the pressure was told, counted from there. A boil
// on the day fixes it to a few tenths; an altitude leaves the weather (±0.6 K)
// and a probe that was never checked (1–2 K). Config cannot tell the two apart,
// so the prior has a narrow heart and wide shoulders, and its guesses stand
// closest where it is narrow: a tenth of a kelvin counts as much there as a
// whole one outside.
var known = [...]guess{
	{-1.0, 0.45, 1.0}, {-0.3, 0.16, 0.32}, {0, 0.15, 0.3}, {0.3, 0.16, 0.32}, {1.0, 0.45, 1.0},
}

const (
	heartSD    = 0.25
	heartShare = 0.6
	shoulderSD = 1.0
)

// newBank returns a bank with what is known beforehand of water's boiling
// point: tw where the pressure is known, 0 where not.
func newBank(tw float64) bank {
	guesses, prior := known[:], func(c float64) float64 {
		return heartShare*gauss(c, heartSD) + (1-heartShare)*gauss(c, shoulderSD)
	}
	if tw == 0 {
		guesses, prior = unknown[:], func(c float64) float64 {
			return lowlandShare*gauss(c-lowlandC, lowlandSD) + (1-lowlandShare)/unknownRange
		}
	}
	var b bank
	for i := range b.hyp {
		h := &b.hyp[i]
		if i >= len(guesses) {
			h.tw, h.logW = float32(tw), float32(math.Inf(-1))
			continue
		}
		g := guesses[i]
		h.tw, h.tt, h.logW = float32(tw+g.c), float32(g.sd*g.sd), float32(math.Log(g.width*prior(g.c)))
	}
	b.normalize()
	return b
}

// gauss is the density of a normal distribution around 0.
func gauss(x, sd float64) float64 { return density(x/sd) / sd }

// normalize sets the best hypothesis's log weight to 0. It reports whether any
// is left.
func (b *bank) normalize() bool {
	best := b.hyp[0].logW
	for i := range b.hyp {
		if w := b.hyp[i].logW; w > best {
			best = w
		}
	}
	if math.IsInf(float64(best), -1) {
		return false
	}
	for i := range b.hyp {
		h := &b.hyp[i]
		h.logW = max(h.logW-best, -1e9)
		h.weigh()
	}
	return true
}

// belief is what is held of water's boiling point alone, without a line.
type belief [bankSize]struct{ logW, tw, tt float32 }

// belief returns the bank's, a little widened: the probe never goes back in at
// quite the same place.
func (b *bank) belief() (k belief) {
	for i, h := range b.hyp {
		k[i].logW, k[i].tw, k[i].tt = h.logW, h.tw, h.tt+beliefSD*beliefSD
	}
	return k
}

const beliefSD = 0.1 // K

// bank returns a bank with no line.
func (k *belief) bank() (b bank) {
	for i := range b.hyp {
		h := &b.hyp[i]
		h.logW, h.tw, h.tt = k[i].logW, k[i].tw, k[i].tt
		h.weigh()
	}
	return b
}

// begin starts the line at time at from a level of °C ± sd. It reports whether
// a syrup may boil there; where it is more likely water, the bank is left as it
// was.
func (b *bank) begin(at, level, sd, k0, k0SD float64, m model) bool {
	next := *b
	var all, water float64
	for i := range next.hyp {
		h := &next.hyp[i]
		w := float64(h.weight)
		all += w
		if !h.begin(level, sd, k0, k0SD, m.curve, m.kappa) {
			water += w
		}
	}
	if water > surelyWater*all || !next.normalize() {
		return false
	}
	next.at, next.opened, next.running, next.evidence = at, at, true, 0
	*b = next
	return true
}

// surelyWater is the share of what was believed of water's boiling point above
// which a level so low is no syrup's.
const surelyWater = 0.8

// advance runs every line on to time at. Across a gap the pot may have been on
// the heat or off it, so the way gone is known less the longer it lasts.
func (b *bank) advance(at float64, m model) {
	dt := float32(at - b.at)
	if dt <= 0 {
		return
	}
	b.at = at
	d := m.drift
	if age := at - b.opened; age < 20*freshS { // then it is less than can be told
		d.heat += freshHeat * exp(-age/freshS)
	}
	for i := range b.hyp {
		h := &b.hyp[i]
		if h.dead() {
			continue
		}
		h.advance(dt, d, m.curve, m.kappa)
		if dt > gapS {
			way := gapDoubt * h.k * dt
			h.vv += way * way
		}
	}
}

// A hob and a hot pan base take their time to follow the knob: for so long the
// heat still moves after it was turned.
const (
	freshHeat = 0.06 // relative, per √s
	freshS    = 20.0
)

const (
	gapS     = 4.0 // longer between two readings is a gap
	gapDoubt = 0.3 // of the way that the line went meanwhile
)

// mixture gathers the first two moments of what hypotheses say.
type mixture struct{ w, m1, m2 float64 }

// add takes one live hypothesis's mean and variance, by its weight.
func (m *mixture) add(h *hypothesis, mean, variance float64) {
	w := float64(h.weight)
	m.w += w
	m.m1 += w * mean
	m.m2 += w * (mean*mean + variance)
}

// moments returns the mean and variance of the whole.
func (m *mixture) moments() (mean, variance float64) {
	mean = m.m1 / m.w
	return mean, max(m.m2/m.w-mean*mean, 0)
}

// predicted returns the mean and variance of the next reading, without its
// noise.
func (b *bank) predicted() (mean, variance float64) {
	var m mixture
	for i := range b.hyp {
		if h := &b.hyp[i]; h.weight != 0 {
			t := h.predicted() - float64(b.hyp[0].tw) // a nearby origin keeps the squares small
			m.add(h, t, float64((h.vv*h.perV+2*h.vt)*h.perV+h.tt))
		}
	}
	mean, variance = m.moments()
	return mean + float64(b.hyp[0].tw), variance
}

// observe takes an observation at the bank's present time. Its likelihood goes
// into the evidence only where that will be asked for: it costs as much again.
func (b *bank) observe(o observation, testify bool) {
	trust := float32(0)
	if b.settled() {
		trust = bendTrust
		if o.half > 0 {
			trust = stepTrust
		}
	}
	var logL [bankSize]float64
	for i := range b.hyp {
		if h := &b.hyp[i]; !h.dead() {
			logL[i] = h.observe(o, trust)
		}
	}
	if testify {
		b.evidence += b.likelihood(&logL)
	}
	if trust == 0 {
		return
	}
	for i := range b.hyp {
		b.hyp[i].logW += trust * float32(logL[i])
	}
	b.normalize()
}

// likelihood returns the log of the mixture's likelihood from those of its
// hypotheses.
func (b *bank) likelihood(logL *[bankSize]float64) float64 {
	best := math.Inf(-1)
	for i := range b.hyp {
		if h := &b.hyp[i]; !h.dead() && logL[i] > best {
			best = logL[i]
		}
	}
	var before, after float64
	for i := range b.hyp {
		if h := &b.hyp[i]; !h.dead() {
			before += float64(h.weight)
			after += float64(h.weight) * exp(logL[i]-best)
		}
	}
	return best + log(after/before)
}

// settled reports whether the line has been running steadily for long enough
// for what it leaves over to tell the hypotheses apart.
func (b *bank) settled() bool { return b.at-b.opened > settledS }

const settledS = 45.0

// What bends a line is as often a heat that drifts as a wrong idea of where
// water boils, so that a point counts half towards the latter. The seconds for
// which a coarse step stands still are hardly independent, and count less.
const (
	bendTrust = 0.5
	stepTrust = 0.1
)

// open lets go of the heat in every hypothesis.
func (b *bank) open(factor, spread, floor float32) {
	b.opened = b.at
	for i := range b.hyp {
		b.hyp[i].open(factor, spread, floor)
	}
}

// waterBoils returns the mean and standard deviation of water's boiling point
// over the mixture.
func (b *bank) waterBoils() (tw, sd float64) {
	var m mixture
	for i := range b.hyp {
		if h := &b.hyp[i]; h.weight != 0 {
			m.add(h, float64(h.tw-b.hyp[0].tw), float64(h.tt))
		}
	}
	d, variance := m.moments()
	return d + float64(b.hyp[0].tw), math.Sqrt(variance)
}

// slope returns the mean slope in °C/s and its standard deviation.
func (b *bank) slope() (mean, sd float64) {
	var m mixture
	for i := range b.hyp {
		if h := &b.hyp[i]; h.weight != 0 {
			m.add(h, float64(-h.k*h.perV), float64(h.kk*h.perV*h.perV))
		}
	}
	mean, variance := m.moments()
	return mean, math.Sqrt(variance)
}

// heat returns the mean heat k per second and its standard deviation.
func (b *bank) heat() (mean, sd float64) {
	var m mixture
	for i := range b.hyp {
		if h := &b.hyp[i]; h.weight != 0 {
			m.add(h, float64(h.k), float64(h.kk))
		}
	}
	mean, variance := m.moments()
	return mean, math.Sqrt(variance)
}
