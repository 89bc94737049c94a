package plateau

import (
	"math"
	"time"
)

// arrival is a forecast in seconds from a bank's own time.
type arrival struct {
	low, mid, high float64 // 10, 50 and 90 % points
	sure           float64 // probability that the target comes at all, within horizonS
	by             Method
	why            Why
}

// way is the distance of one hypothesis to the target: d = v − v*(tw), falling
// by k a second.
type way struct {
	share      float64
	d, k       float64
	dd, dk, kk float64 // covariance of (d, k)
	walk       float64 // variance of k that the heat's own drift adds per second
}

const (
	horizonS   = 3 * 3600.0
	bendSD     = 0.05  // K per √K of the way: the boiling curve wanders off by about this much
	kappaSD    = 0.005 // per K: κ differs by this much between pots, and along one cook
	faintLogW  = -6.0  // a hypothesis that weighs less than 1 in 400 of the best is not asked
	shapeShare = 0.015 // of the way: the curve's own doubt in shape for a careful cook's syrup,
	shapeOpen  = 0.16  // and about the published curves' spread where the readings must tell the pressure too, or are poor
)

// ways lists the distances of the hypotheses that still count.
// Their shares add up to share. The list is appended to.
func (b *bank) ways(list []way, share, targetC float64, m model) []way {
	first, total := len(list), 0.0
	for i := range b.hyp {
		h := &b.hyp[i]
		if h.logW < faintLogW {
			continue
		}
		v, k, tw := float64(h.v), float64(h.k), float64(h.tw)
		rise := targetC - tw
		if rise < leastRise/2 {
			continue
		}
		l := m.curve.lnRatioFrom(float64(h.goal), rise, tw)
		h.goal = float32(l)
		z, _, perLn := m.curve.at(l, tw)
		g := z/perLn - m.kappa // dv/dx at the target, so that dv*/dtw = −g
		w := way{share: float64(h.weight), d: v - (z - m.kappa*rise), k: k}
		left := rise - float64(h.x)
		wrong := m.shape * w.d
		bent := kappaSD * left
		drifted := bendSD * bendSD * math.Abs(left) * g * g
		w.dd = m.doubt*(float64(h.vv)+2*g*float64(h.vt)+g*g*float64(h.tt)) + wrong*wrong + bent*bent + drifted
		w.dk = m.doubt * (float64(h.vk) + g*float64(h.kt))
		w.kk = m.doubt * float64(h.kk)
		w.walk = m.drift.heat * m.drift.heat * k * k
		total += w.share
		list = append(list, w)
	}
	for i := first; i < len(list); i++ {
		list[i].share *= share / total
	}
	return list
}

// arrived returns the probability that the target has come by t seconds, and
// how much that grows with ln t. In each hypothesis the way left then, d − kt,
// is Gaussian, and the target has come where it is negative. Heats that are not
// positive never arrive, so that the probability need not go to 1.
func arrived(list []way, t float64) (p, perLn float64) {
	for i := range list {
		w := &list[i]
		s := max(w.dd+t*(t*(w.kk+w.walk*t/3)-2*w.dk), 1e-12)
		sd := math.Sqrt(s)
		x := (w.k*t - w.d) / sd
		below, density := normal(x)
		p += w.share * below
		perLn += w.share * density * (w.k/sd - x*(t*(w.kk+w.walk*t/2)-w.dk)/s)
	}
	return p, t * perLn
}

// normal is the standard normal distribution function to 7.5e-8, and its
// density: Abramowitz and Stegun 26.2.17, at half the price of [math.Erfc].
func normal(x float64) (below, at float64) {
	const far = 5.5 // where less than 2e-8 is left
	if x > far {
		return 1, 0
	} else if x < -far {
		return 0, 0
	}
	t := 1 / (1 + 0.2316419*math.Abs(x))
	at = density(x)
	tail := at * t * (0.319381530 + t*(-0.356563782+t*(1.781477937+t*(-1.821255978+t*1.330274429))))
	if x > 0 {
		return 1 - tail, at
	}
	return tail, at
}

// quantile returns the time by which the target has come with probability p, or
// the horizon if it does not. It begins at a guess and goes by Newton's steps
// in the logarithm of time, or halves what is left where they lead out of it.
func quantile(list []way, p, guess float64) float64 {
	const close, longest = 5e-4, 0.5
	if guess <= 0 {
		guess = usualWayS
	}
	lo, hi := lnSoonest, lnHorizon
	at := min(max(log(guess), lo), hi)
	for hi-lo > close {
		have, perLn := arrived(list, exp(at))
		miss := p - have
		if math.Abs(miss) < close {
			break
		}
		if miss > 0 {
			lo = at
		} else {
			hi = at
		}
		step := miss / perLn
		if next := at + step; math.Abs(step) < longest && next > lo && next < hi {
			at = next
			continue
		}
		at = (lo + hi) / 2
	}
	return exp(at)
}

const (
	lnSoonest = -4.0
	usualWayS = 300.0
)

var lnHorizon = math.Log(horizonS)

// hold returns the last answer, run on by the clock, for as long as the
// probability that the target has come by then stays within slack of p; else
// the nearest time for which it does. The readings do not tell such answers
// apart, so that changing one for the other would only make the figure restless.
func hold(list []way, p, slack, last float64) float64 {
	if last > 0 {
		have, _ := arrived(list, last)
		off := have - p
		if math.Abs(off) <= slack {
			return last
		}
		p += math.Copysign(slack, off)
	}
	return quantile(list, p, last)
}

// How far the answers' probabilities may stray: of the time that is as likely
// too early as too late, and of the interval's edges.
const (
	evenSlack = 0.06
	edgeSlack = 0.015
)

// foresee works out the arrival from the bank at its own time.
// The other bank, at the same time, is asked as well as far as it is believed.
// The last answer, run on to that time, is held for as long as it will do.
func (b *bank) foresee(other *bank, believed, targetC float64, last arrival, m model) arrival {
	var room [2 * bankSize]way
	ways := b.ways(room[:0], 1-believed, targetC, m)
	if believed > 0 {
		ways = other.ways(ways, believed, targetC, m)
	}
	if len(ways) == 0 {
		return arrival{why: WhyNotOnItsWay}
	}
	a := arrival{by: ByStallLine}
	if a.sure, _ = arrived(ways, horizonS); a.sure < sureEnough {
		return a
	}
	a.mid = hold(ways, 0.5, evenSlack, last.mid)
	a.low = hold(ways, 0.1, edgeSlack, last.low)
	if a.high = horizonS; a.sure > 0.9 {
		a.high = hold(ways, 0.9, edgeSlack, last.high)
	}
	return a
}

// forecast returns when the target arrives, counted from at, which is not
// before the last reading; or why there is no telling.
func (e *estimator) forecast(at time.Duration) (Forecast, Why) {
	if !e.seen {
		return Forecast{}, WhyTooEarly
	}
	if !e.fresh {
		e.answer, e.answeredAt, e.fresh = e.answerNow(), e.line.at, true
	}
	if e.answer.why != WhyNot {
		return Forecast{}, e.answer.why
	}
	now := secs(at)
	ahead := now - e.answeredAt
	f := Forecast{By: e.answer.by, Guess: now-e.lag-e.last > silentS}
	f.Low = seconds(e.answer.low - ahead)
	f.ETA = max(seconds(e.answer.mid-ahead), f.Low)
	f.High = max(seconds(e.answer.high-ahead), f.ETA)
	return f, WhyNot
}

const silentS = 5.0

// hopeless reports whether the target rather does not come than comes, in
// which the last answer that none is on its way need not be that sure.
func (e *estimator) hopeless() bool { return e.answer.sure < noHope }

// seconds returns s, if positive, as a duration in whole ms.
func seconds(s float64) time.Duration {
	return time.Duration(max(s, 0)*1e3+0.5) * time.Millisecond
}

// answerNow works out the forecast as of the last full bin.
func (e *estimator) answerNow() arrival {
	if !e.line.running {
		if e.waiting {
			return arrival{why: WhyTooEarly}
		}
		return arrival{why: WhyNoBoil}
	}
	v := e.look()
	if e.target < v.c-pastK {
		return arrival{why: WhyNotOnItsWay}
	}
	a := e.byLine()
	if w := e.contradicted(v); w > 0 && e.line.at-e.beganAt > slopeAge {
		if s := e.bySlope(v); s.why == WhyNot {
			return a.blend(s, w)
		}
	}
	return a
}

// contradicted returns how far the slope of the readings is to be heard against
// the line, 0–1: as far as the two are apart, or as the points have strayed for
// longer than a dip lasts. A dip's way back is steeper than any climb, so that
// the slope must have forgotten it first.
func (e *estimator) contradicted(v *present) float64 {
	if e.strays > 0 {
		return min(max((e.line.at-e.strayed)/e.patience(!e.strayDown)-1, 0), 1)
	}
	if e.line.at-e.upsetAt < slowFadeS {
		return 0
	}
	return min(max((v.apart-apartSD)/apartSD, 0), 1)
}

// byLine is the arrival by the stall line, with the turns of the heat that the
// probe has not felt yet.
func (e *estimator) byLine() arrival {
	m := e.model()
	line := &e.line
	if n := e.changes.n; n > 0 && e.changes.c[n-1].at > line.at {
		ahead := e.line
		line = &ahead
		e.changes.turn(line, e.last+e.lag, m)
	}
	last, gone := e.answer, line.at-e.answeredAt
	last.low, last.mid, last.high = last.low-gone, last.mid-gone, last.high-gone
	a := line.foresee(&e.rival.line, e.believed(), e.target, last, m)
	late := line.at - e.line.at
	a.low, a.mid, a.high = a.low+late, a.mid+late, a.high+late
	switch {
	case a.why != WhyNot:
	case line.at-e.beganAt < answerS:
		a.why = WhyTooEarly
	case a.sure < sureEnough && line.at-e.changedAt < answerS:
		a.why = WhyHeatChanged
	case a.sure < sureEnough:
		a.why = WhyNotOnItsWay
	}
	return a
}

// bySlope is the arrival by the slope of the readings alone, for the time when
// they do not follow the line. A syrup's slope grows on the way, so that this
// is late as a rule, the later the further it has to go.
func (e *estimator) bySlope(v *present) arrival {
	left := e.target - v.meter.level
	rate := v.meter.slope
	if !v.ok || left > slopeReachK || rate < 2*v.meter.slopeSE || rate <= leastSlopeSD {
		return arrival{why: WhyNotOnItsWay}
	}
	t := max(left, 0) / rate
	se := v.meter.slopeSE / rate
	late := 1 / (1 + slopeGrowth*max(left, 0))
	at := v.at - e.line.at
	return arrival{
		low: at + t*late/(1+1.28*se), mid: at + t*math.Sqrt(late), high: at + t*(1+1.28*se),
		sure: 1, by: BySlope,
	}
}

// blend goes from a to b by the share w of the way, in the logarithm of time,
// so that one takes over from the other without a jump.
func (a arrival) blend(b arrival, w float64) arrival {
	if a.why != WhyNot || w >= 1 {
		return b
	}
	mix := func(x, y float64) float64 { return exp((1-w)*log(max(x, 1)) + w*log(max(y, 1))) }
	c := arrival{low: mix(a.low, b.low), mid: mix(a.mid, b.mid), high: mix(a.high, b.high), sure: a.sure, by: a.by}
	c.low, c.high = min(c.low, a.low, b.low), max(c.high, a.high, b.high)
	if w > 0.5 {
		c.by = b.by
	}
	return c
}

const (
	answerEvery = 1.6  // s: an answer lasts for two bins, running on by the clock,
	answerShare = 0.01 // or for this share of the time left
	answerS     = 20.0 // a line is this old before it is asked
	sureEnough  = 0.65 // probability of any arrival below which there is none to tell
	noHope      = 0.30 // below which a cook is told that this heat will not do
	pastK       = 1.0  // K over the target from which there is nothing left to forecast
	apartSD     = 3.5  // the slope begins to be heard when it is so far from the line's
	slopeAge    = 45.0 // a line is this old before a slope may contradict it: coming to the boil is no climb
	slopeReachK = 15.0 // from further off a slope says nothing
	slopeGrowth = 0.08 // share by which a slope may grow per K of the way
)
