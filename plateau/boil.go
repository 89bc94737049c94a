package plateau

import "time"

// boiling is what the last seconds say about the boil. While a pot only warms,
// all heat goes into its temperature; from the moment it boils nearly all goes
// into steam, and the climb becomes many times slower.
type boiling struct {
	rise     float64       // fastest climb since the last fall, °C/s
	flat     bool          // the pot stands nearly still
	flatAt   time.Duration // since when
	flatC    float64       // where
	steady   bool          // the pot climbs no faster than a syrup near its target
	steadyAt time.Duration
	falls    bool // the pot cools
	fallsAt  time.Duration
}

// Limits on the slope of a boiling pot, °C/s.
const (
	stillSlope = 0.7 / 60  // 1.2 °F/min: common practice for a pot that stands still
	stillFall  = -0.6 / 60 // what the noise may feign
	coolSlope  = -0.8 / 60 // a pot off the heat cools faster, up to 3 kg
	quickest   = 8.0 / 60  // faster than any syrup climbs on a kitchen hob at its target
	ofRise     = 0.3       // a boil slows the climb to less than this share
)

// feel looks at the slope of the last seconds.
func (b *boiling) feel(s *State) {
	t := s.recent.line(s.at, s.window(12, 20, 40))
	if !t.ok {
		b.flat, b.steady, b.falls = false, false, false
		return
	}
	half := time.Duration(t.n) * time.Second / 2
	if t.slope < -0.05 {
		b.rise = 0
	} else if t.slope > 3*t.err {
		b.rise = max(b.rise, t.slope)
	}
	most := max(stillSlope, ofRise*b.rise)
	flat := t.slope > stillFall-min(t.err, 0.01) && t.slope < most+min(2*t.err, max(0.02, 0.2*b.rise))
	if flat && !b.flat {
		b.flatAt, b.flatC = s.at-min(half, s.at), t.c
	}
	steady := t.slope > 0.2/60-t.err && t.slope < quickest+t.err
	if steady && !b.steady {
		b.steadyAt = s.at - min(half, s.at)
	}
	falls := t.slope < coolSlope-min(2*t.err, 0.02)
	if falls && !b.falls {
		b.fallsAt = s.at - min(half, s.at)
	}
	b.flat, b.steady, b.falls = flat, steady, falls
}

// risen is how far the pot has risen since it stood still, °C: a boiling syrup
// always does, water never.
func (b *boiling) risen(s *State) float64 {
	c, n := s.recent.mean(10)
	if n < 3 {
		return 0
	}
	return c - b.flatC
}

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
