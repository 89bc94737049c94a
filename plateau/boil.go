package plateau

import (
	"math"
	"time"
)

// boiling is what the last seconds say about the boil. While a pot only warms,
// all heat goes into its temperature; from the moment it boils nearly all goes
// into steam, and the climb becomes many times slower.
type boiling struct {
	slope      float64       // °C/s, stirring dips left out
	rise       float64       // fastest climb since the last fall, °C/s
	melted     float64       // fastest steady climb of the melt, °C/s; 0 when not seen
	flat       bool          // the pot climbs no faster than a boiling one would
	flatAt     time.Duration // since when
	flatC      float64       // where
	flatSeen   time.Duration // the last look that said so
	steady     bool          // the pot climbs no faster than a syrup near its target
	steadyAt   time.Duration
	steadySeen time.Duration
	falls      bool // the pot cools
	fallsAt    time.Duration
	dipAt      time.Duration // the last look at one
	clearAt    time.Duration // the last look without a stirred tip
	lookedAt   time.Duration // the last second looked at
}

// Limits on the slope of a boiling pot, °C/s.
const (
	stillSlope = 0.7 / 60  // 1.2 °F/min: common practice for a pot that stands still
	stillFall  = -0.6 / 60 // what the noise may feign
	coolSlope  = -0.8 / 60 // a pot off the heat cools faster, up to 3 kg
	quickest   = 8.0 / 60  // faster than any syrup climbs on a kitchen hob at its target
	hobSlope   = 1.2       // no pot warms faster on a kitchen hob: a tip does, as it is put into one
	fullShare  = 0.45      // of the melt's slope: with the cream in, there is twice the pot to warm
	dipK       = 0.15      // a stirring cools the tip by this much or more for some seconds
)

// strays is for how long a slope may stray before it counts.
const strays = 8 * time.Second

// feel looks at the slope of the last seconds, once a second.
func (b *boiling) feel(s *State) {
	sec := s.at / time.Second
	if sec == b.lookedAt {
		return
	}
	s.bend.feel(s, (sec-b.lookedAt)*time.Second)
	b.lookedAt = sec
	w, t, dips := b.look(s)
	half := min(time.Duration(w)*time.Second/2, s.at)
	s.line20, s.lineAt = s.recent.line(s.at, 20), s.at
	all := s.line20
	if w > 20 {
		all = s.recent.line(s.at, w)
	}
	b.feelFall(s, all, half)
	switch {
	case dips: // neither here nor there for some seconds
		b.dipAt = s.at
		if s.at-b.flatAt < 10*time.Second || s.at-b.clearAt > stirMost {
			b.flat = false
		}
		return
	case !t.ok || s.recent.n < w*3/4:
		b.flat, b.steady = false, false
		return
	}
	b.clearAt = s.at
	b.judge(s, t, all, half)
}

// look fits the shortest stretch that shows the slope finely enough to tell a
// boil from warming.
func (b *boiling) look(s *State) (w int64, t trend, dips bool) {
	dip := dipK + 3*min(s.clean.noise, 1)
	most := b.most(s)
	for _, w = range [...]int64{12, 18, 27, 40, 60} {
		t, dips = s.recent.climb(s.at, w, dip)
		// Rounding hides as much of a slope as the step over the stretch.
		t.err = max(t.err, 0.15*s.clean.step/float64(w))
		if t.ok && t.err < most/2.5 {
			break
		}
	}
	return w, t, dips
}

// judge holds the slope of the last seconds against what a boil allows.
func (b *boiling) judge(s *State, t, all trend, half time.Duration) {
	b.slope = t.slope
	if s.cook.phase <= Melt && (s.melt.first < coldStart || s.melt.now > dryC) && t.slope > 3*t.err {
		b.melted = max(b.melted, min(t.slope, hobSlope))
	}
	if all.slope < -0.05 {
		b.rise = 0
	} else if t.slope > 3*t.err {
		b.rise = max(b.rise, min(t.slope, hobSlope))
	}
	most := b.most(s)
	flat := s.at-b.dipAt >= 4*time.Second && t.slope > stillFall-min(t.err, 0.01) && t.slope < most+min(t.err/2, most/2)
	steady := t.slope > 0.2/60-t.err && t.slope < quickest+t.err
	if flat {
		b.flatSeen = s.at
	}
	if steady {
		b.steadySeen = s.at
	}
	// Bubbles come in bursts, so that a slope strays for some seconds.
	flat = flat || b.flat && t.slope > 2*stillFall && t.slope < 2*most && s.at-b.flatSeen < strays
	steady = steady || b.steady && s.at-b.steadySeen < strays
	if flat && !b.flat {
		b.flatAt = s.at
	}
	if flat && s.at-b.flatAt < 12*time.Second {
		b.flatC = t.c // what is left of the warming is no boil
	}
	if steady && !b.steady {
		b.steadyAt = s.at - half
	}
	b.flat, b.steady = flat, steady
}

// feelFall looks for a pot that cools.
func (b *boiling) feelFall(s *State, t trend, half time.Duration) {
	falls := t.ok && t.slope < coolSlope-min(2*t.err, 0.02)
	if falls && !b.falls {
		b.fallsAt = s.at - half
	}
	b.falls = falls
}

// most returns the fastest climb that is still more like a boil than like
// warming: half way between the two, on a scale of ratios.
func (b *boiling) most(s *State) float64 {
	w, _ := s.water()
	less := slowing(s.melt.now - w)
	limit := stillSlope
	if b.melted > 0 {
		limit = fullShare * b.melted / less
	}
	if b.rise > 2*limit {
		limit = b.rise / less // it has been seen to warm since the last cream
	}
	return clamp(limit, 0.1/60, quickest)
}

// slowing returns the square root of how many times slower a pot climbs at the
// boil than with the same heat before it, above being its height over water's
// boiling point: 1 + (−dz/dT)/κ, with z near 48/above for a syrup (an
// approximation within some 20 % of the boiling curve, where a factor of two
// does no harm) and κ = 0.04 per K.
func slowing(above float64) float64 {
	a := clamp(above, 2, 25)
	return math.Sqrt(1 + 45/(a*a)/0.04)
}

// risen reports whether the pot has crept up by more than least since it
// stood still, °C, or beyond doubt: a boiling syrup always does, water never.
// The probe must have come up to the pot first.
func (b *boiling) risen(s *State, least float64) bool {
	if k := &s.bend; k.p > 0.5 && k.climbs {
		return true
	}
	if !b.flat {
		return false
	}
	c, n := s.recent.mean(10)
	old, ok := s.recent.before(15 * time.Second) // a leap is no creeping
	if n >= 3 && ok && c-b.flatC > least && old-b.flatC > least/2 {
		return true
	}
	const enough = 25 // s
	w := min(int64((s.at-b.flatAt-3*s.cfg.Lag)/time.Second), recentS)
	if w < enough {
		return false
	}
	t, _ := s.recent.climb(s.at, w, dipK+3*min(s.clean.noise, 1))
	if !t.ok || t.slope < 5*max(alikeSE*t.err, 0.15*s.clean.step/float64(w))+leastCreep {
		return false
	}
	// What comes back from a dip had stood as high before it, and goes no further.
	first, ok1 := s.recent.highest(w, 2*w/3)
	mid, ok2 := s.recent.highest(2*w/3, w/3)
	last, ok3 := s.recent.highest(w/3, 0)
	return ok1 && ok2 && ok3 && first < mid && mid < last
}

// alikeSE is by how much a slope's standard error is larger than it looks, since
// bubbles pass in a second or two and make neighbours alike.
const alikeSE = 1.7

// window returns how many seconds to fit, by how rough the readings are.
func (s *State) window(fine, rough, coarse int64) int64 {
	switch k := &s.clean; {
	case k.step > 0.3:
		return coarse
	case k.step > 0.12, k.noise > 0.15, k.dt > 1.5:
		return rough
	}
	return fine
}
