package plateau

import (
	"math"
	"time"

	"boildown/probe"
)

// alarmBand is how near the target readings must not fail unheard: 10 °F.
const alarmBand = 10 / 1.8 // K

// How long before the pull the near-target prompt comes at the latest: half a
// minute, and what an honest forecast may be wrong by; by the early end of the
// forecast, half a minute and the time it takes to be sure of it.
const (
	nearAhead = 41 * time.Second
	nearLeast = 34 * time.Second
)

// forecast asks the estimator for the target's arrival. While readings fail,
// the last forecast runs on by the clock as a guess.
func (s *State) forecast(a *Advice) {
	switch p := s.cook.phase; {
	case p >= Pulled:
		return
	case p < Stall || !s.cook.boils:
		a.Why = WhyNoBoil
		return
	}
	if !s.cook.sugar { // it may be plain water
		a.Why = WhyTooEarly
		return
	}
	a.Forecast, a.Why = s.est.forecast(s.at)
	f := &a.Forecast
	if !f.Ok() {
		*f = Forecast{}
		if s.blind.on && a.Why == WhyNot {
			a.Why = WhyDoubtful
		}
		return
	}
	a.Why = WhyNot
	f.Low = max(f.Low, 0)
	f.ETA = max(f.ETA, f.Low)
	f.High = max(f.High, f.ETA)
	f.Guess = s.blind.on
}

// aim is where the pot must leave the heat for its peak to be the target.
func (s *State) aim() float64 { return float64(s.cfg.Target) - float64(s.cfg.CarryOver) }

// rise returns the pot's slope, °C/s, 0 or more.
func (s *State) rise() float64 {
	if s.cook.boils {
		return clamp(s.slopeC, 0, 0.5)
	}
	return clamp(s.boiling.slope, 0, 0.5)
}

// evenRise is the slope that the next seconds can be trusted to have: a hob
// that switches on and off climbs several times faster while it is on, and
// only for some seconds.
func (s *State) evenRise() float64 {
	r := s.rise()
	if minute, ok := s.recent.slope(); ok {
		return max(min(minute, r), r/2)
	}
	return r
}

// untilPull returns how long until the pull is due by the forecast.
func (s *State) untilPull(f Forecast) time.Duration {
	early := s.cfg.Reaction
	if r := s.rise(); r > 0 && s.cfg.CarryOver > 0 {
		early += min(span(float64(s.cfg.CarryOver)/r), 40*time.Second)
	}
	return f.ETA - early
}

// For how long a forecast must have stood before it may call the cook alone, and
// how long after a spoon was in the pot.
const (
	sureAfter  = 25 * time.Second
	stirredFor = 8 * time.Second
)

// unsettle notes until when the forecast does not stand on good readings.
func (s *State) unsettle(stands bool) {
	l := &s.alerts
	switch {
	case !stands || s.blind.on && s.blind.told: // one lost reading is no gap
		l.unsureAt = s.at
	case s.clean.stirred: // the line goes on beneath it
		l.unsureAt = max(l.unsureAt, s.at+stirredFor+2*s.cfg.Lag-sureAfter)
	}
}

// nears reports whether the pull is so close by the forecast that the cook must
// be called: as expected, or as it may well turn out.
func (s *State) nears(f Forecast) bool {
	left := s.untilPull(f)
	return left <= nearAhead || left-(f.ETA-f.Low) <= nearLeast
}

// reach is as far as the pot can climb in d, K: its slope grows as it goes, but
// to no more than three times what it is now in so short a time.
func (s *State) reach(d time.Duration) float64 {
	return 3 * min(s.rise(), max(s.boiling.slope, 0)) * secs(d)
}

// watchBoil raises what belongs to the boil up to the pull.
func (s *State) watchBoil(a *Advice) {
	c := &s.cook
	on := c.phase == Stall || c.phase == Climb || s.mayBoil()
	since := s.at - s.alerts.since[Stalled]
	s.hold(a, Stalled, c.phase == Stall && c.boils && s.alerts.once(Stalled, c.boilAt), c.phase != Stall || since > 30*time.Second)
	s.pulse(a, Stir, on && c.boils && s.at-c.boilAt > 45*time.Second && !s.pullsSoon(a), 150*time.Second, glance)

	gap := float64(s.cfg.Target) - s.level()
	turned := c.heatDir < 0 && c.heatAt > c.boilAt && s.at-c.heatAt < 2*time.Minute
	s.hold(a, LowerHeat, c.phase == Climb && c.boils && gap > 1.5 && !turned && s.alerts.once(LowerHeat, c.boilAt),
		c.phase != Climb || turned || s.at-s.alerts.since[LowerHeat] > 45*time.Second)

	s.watchRise(a, on, gap)
	s.watchTarget(a, on, gap)
}

// pullsSoon reports whether the cook's hands must stay free for the pull.
func (s *State) pullsSoon(a *Advice) bool {
	return s.alerts.standing.Has(PullNow) || a.Forecast.Ok() && s.untilPull(a.Forecast) < 40*time.Second ||
		float64(s.cfg.Target)-s.level() < float64(s.cfg.Near)/2
}

// level is the pot's temperature for the prompts round the target: the
// filtered one at a boil; else the mean of the last seconds, run on to now.
func (s *State) level() float64 {
	if s.cook.boils {
		return float64(s.pot())
	}
	c, _ := s.recent.mean(4)
	return c + max(s.boiling.slope, 0)*(2+s.est.lag)
}

// mayBoil reports whether the pot may be a boiling syrup that has not been
// told from other things yet: near its target the temperature alone must do.
// A dry melt runs through there too, but says nothing of cream, or is far
// quicker.
func (s *State) mayBoil() bool {
	m, b := &s.melt, &s.boiling
	gap := float64(s.cfg.Target) - s.level()
	if gap > alarmBand || m.now > dryC && float64(s.cfg.Target) < dryC-5 || s.recent.n < 10 {
		return false
	}
	switch s.cook.phase {
	case Wait:
		return m.first > coldStart && b.steady
	case Cream:
		return b.steady && s.at-max(b.steadyAt, s.cook.creamAt) > 20*time.Second &&
			(s.alerts.standing.Has(PullNow) || !s.pouredLately())
	}
	return false
}

// pouredLately reports whether the pot has come down since it climbed as slowly
// as one near its target, which such a pot never does by itself: cream went in.
// Between two portions a pot may stand anywhere, also far over its target. A
// touch of the hot bottom or a stirred tip is over within seconds.
func (s *State) pouredLately() bool {
	const stretch, plunge = 10, 1.5 // s, K
	least := 0.3 + s.clean.step
	now, _ := s.recent.highest(4, 0)
	if s.recent.newest() < now-plunge-4*min(s.clean.noise, 1) {
		return true // just now
	}
	steady := int64((s.at - max(s.boiling.steadyAt, s.cook.creamAt)) / time.Second)
	above := 0
	for ago := int64(4); ago < min(steady, s.recent.n); ago++ {
		if c, ok := s.recent.highest(ago+1, ago); ok && c < now+least {
			above = 0
		} else if above++; above >= stretch {
			return true
		}
	}
	return false
}

// watchRise raises that this heat will not get there.
func (s *State) watchRise(a *Advice, on bool, gap float64) {
	stuck := on && a.Why == WhyNotOnItsWay && gap > 0.5 && s.est.hopeless()
	if !stuck {
		s.alerts.stuckAt = s.at
	}
	if !a.Forecast.Ok() {
		s.alerts.risesAt = s.at
	}
	s.hold(a, NotRising, stuck && s.at-s.alerts.stuckAt > 30*time.Second,
		!on || gap < 0.5 || s.at-s.alerts.risesAt > 10*time.Second)
}

// Over the target, K.
const (
	pastBy   = 1 / 1.8 // 1 °F
	scorchBy = 5.0
)

// watchTarget raises the prompts round the target.
func (s *State) watchTarget(a *Advice, on bool, gap float64) {
	near := float64(s.cfg.Near)
	pull := on && s.pullDue(a)
	s.unsettle(a.Forecast.Ok())
	f := &a.Forecast
	sure := gap < 2*near || s.at-s.alerts.unsureAt > sureAfter &&
		s.at-s.cook.boilAt > time.Minute && f.High-f.Low < f.ETA+20*time.Second
	soon := sure && f.Ok() && s.nears(*f) && gap <= near+s.reach(nearAhead)
	if !soon {
		s.alerts.laterAt = s.at
	}
	soon = soon && s.at-s.alerts.laterAt >= 2*time.Second
	s.hold(a, NearTarget, on && (gap <= near || soon || pull),
		!on || gap > near+1.5 && s.untilPull(a.Forecast) > 3*time.Minute)
	s.hold(a, PullNow, pull, !on || s.level() < s.aim()-2 && !s.blind.on)
	over := -gap
	if !s.fresh() || s.clean.stirred {
		over = min(over, pastBy/2) // not without a reading of it
	}
	s.hold(a, PastTarget, on && over >= pastBy, !on || over < pastBy/3)
	s.hold(a, Scorch, on && over >= scorchBy, !on || over < scorchBy-0.5)
}

// pullDue reports whether the cook must lift the pot now. The temperature
// decides: as the probe shows it, with its lag made good, and as far as it
// rises until the pot is off the heat. Only a blind pull rests on the forecast.
func (s *State) pullDue(a *Advice) bool {
	if s.blind.on {
		return s.blindPull(a.Forecast)
	}
	if !s.clean.has {
		return false
	}
	ahead := secs(s.cfg.Reaction) + s.clean.dt/2
	if !s.cook.boils {
		return s.level()+max(s.boiling.slope, 0)*ahead >= s.aim()
	}
	if s.runOn()+s.rise()*ahead >= s.aim() && s.runOn()+s.evenRise()*ahead >= s.aim() {
		t, off := s.hobPauses()
		return !off || s.pausedPeak(t, ahead) >= float64(s.cfg.Target)
	}
	// The readings alone, whatever the estimate made of them.
	if s.recent.newest() < s.aim()-2 {
		return false
	}
	c, n := s.recent.mean(8)
	return n >= 3 && c-2*s.clean.noise/math.Sqrt(float64(n)) >= s.aim()
}

// hobPauses reports whether a hob that switches on and off seems to be off just
// now: the readings climb far more slowly than the pot did, but have not fallen
// as they do where a spoon stirs the cool rim in. It returns the last seconds'
// line. Coarse steps hide it.
func (s *State) hobPauses() (t trend, off bool) {
	t = s.recent.line(s.at, 9)
	if !t.ok || s.clean.step > 0.12 {
		return t, false
	}
	top, ok := s.recent.highest(30, 2)
	if c, n := s.recent.mean(3); !ok || n == 0 || c < top-0.05-2*s.clean.noise {
		return t, false
	}
	return t, t.slope+2*t.err < pauseShare*s.rise()
}

// pauseShare of its slope is what a pot may keep that a pausing hob no longer
// heats, for all that a hot base gives on.
const pauseShare = 0.65

// pausedPeak returns how hot the pot gets if it is lifted ahead seconds from
// now while its hob is off. What a base and a hob still give after the lift is
// what they hold over the pot, and that is in proportion to what they give now.
func (s *State) pausedPeak(t trend, ahead float64) float64 {
	climb := max(t.slope, 0)
	share := min(climb/max(s.rise(), 1e-6), 1)
	return t.c + climb*(s.est.lag+ahead) + share*float64(s.cfg.CarryOver)
}

// blindPull reports whether the pot may be at its target although nothing can
// be read: at the early end of the last forecast, or as soon as a quick climb
// would be there where no forecast stood.
func (s *State) blindPull(f Forecast) bool {
	gone := s.at - s.blind.since
	if gone < 2*time.Second {
		return false
	}
	early := s.cfg.Reaction + span(float64(s.cfg.CarryOver)/max(s.blind.rise, 0.01))
	if f.Ok() {
		// A probe lifted out for a look comes back within seconds.
		brief := s.blind.fault >= probe.FaultSpike && gone < 8*time.Second
		return f.ETA <= early || f.Low <= early && !brief
	}
	left := s.aim() - s.blind.c
	if !s.blind.wet || left > 2*alarmBand {
		return false
	}
	const quick = 5.0 / 60 // °C/s, 9 °F/min
	return gone+early >= span(left/max(1.3*s.blind.rise, quick/2))
}

// pot temperature when the readings failed, and how they fail.
type blindness struct {
	on     bool // the last reading was not usable
	since  time.Duration
	n      int // inputs without a usable reading
	fault  probe.Fault
	good   int           // usable readings in a row since
	seenAt time.Duration // the last usable reading
	told   bool          // the estimator knows of the gap
	c      float64       // the pot as last seen, °C
	rise   float64       // its slope then, °C/s
	wet    bool          // it boiled then
}

// see notes a usable reading.
func (b *blindness) see(at time.Duration) {
	b.on, b.n, b.told = false, 0, false
	b.good = min(b.good+1, 100)
	b.seenAt = at
}

// miss notes an input without one, and reports whether the gap has just become
// long enough to be one.
func (b *blindness) miss(at time.Duration, f probe.Fault) (gap bool) {
	if !b.on {
		b.on, b.since, b.n = true, at, 0
	}
	b.n = min(b.n+1, 1000)
	b.fault, b.good = f, 0
	if !b.told && (at-b.seenAt >= 5*time.Second || f == probe.FaultLifted) {
		b.told = true
		return true
	}
	return false
}

// watchProbe raises that the readings are not to be trusted: near the target
// at once, elsewhere when they have failed for some seconds.
func (s *State) watchProbe(a *Advice) {
	b := &s.blind
	if !b.on {
		b.c, b.rise = float64(s.pot()), s.rise()
		b.wet = s.cook.boils
	}
	lasts := s.at-b.since >= 4*time.Second && b.n >= 3 || b.fault == probe.FaultSilent || b.fault == probe.FaultGone
	near := b.wet && s.cook.phase < Pulled && float64(s.cfg.Target)-b.c <= alarmBand
	near = near || s.cook.phase == Melt && s.melt.now > unevenFromC && b.n >= 2
	if near && !(b.fault == probe.FaultSpike && b.n < 2 && s.clean.dt < 1.6) {
		lasts = true
	}
	s.hold(a, ProbeFault, b.on && lasts && s.cook.phase != Done, !b.on && b.good >= 2 || s.cook.phase == Done)
}
