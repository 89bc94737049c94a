package plateau

import (
	"math"
	"time"

	"boildown/probe"
)

// cleaner tells readings that a pot can give from those it cannot. A doubted
// reading is held against the ones after it: what stays where it jumped to is
// the pot after all.
type cleaner struct {
	has   bool
	last  float64       // last used reading, °C
	at    time.Duration // its time
	dt    float64       // usual time between readings, s
	noise float64       // standard deviation of a reading, °C
	step  float64       // smallest change seen, °C; 0 before the first
	noisy bool
	moved bool // the reading just used ended a jump that stayed
	rose  bool // and the jump went up

	calmAt time.Duration // when readings tell of noise again, after a run of doubts
	hotTo  time.Duration // until when the tip may touch the bottom again
	tight  bool          // it may now: the way there looks like a climb
	rough  rough

	stirred  bool // the tip is in something cooler than the pot: see stir
	stirAt   time.Duration
	stirLow  float64       // °C, the lowest of it
	trustsAt time.Duration // until when low readings are the pot's after all

	raw        float64       // last raw value
	rawAt      time.Duration // since when it has not changed
	rawN       int           // readings without a change
	rawSlope   float64       // slope when it last changed, °C/s
	rawNoise   float64       // noise when it last changed, °C
	doubts     int           // doubted readings in a row
	doubtFrom  time.Duration
	doubtC     float64 // last doubted reading
	doubtAt    time.Duration
	doubtStep  float64 // and how far it lay from the doubted one before
	doubtUp    bool    // and whether above it
	doubtSame  bool    // both lay on the same side of the last used one
	torn       bool    // the run of doubts began with a step that no probe can make
	settledC   float64 // where doubted readings have stayed within 1 °C
	settledAt  time.Duration
	before     float64 // °C before a sudden fall, 0 when there was none of late
	beforeAt   time.Duration
	lastLifted bool // the run of doubts looks like a probe in the air
}

// mode is how freely readings may move.
type mode uint8

const (
	freely  mode = iota // nothing is known: a probe may be put anywhere
	dryly               // melting sugar: quick climbs, and cream may go in unannounced
	creamed             // cream goes in: the pot drops by tens of degrees
	boiled              // a boiling pot moves slowly
	cooled              // off the heat
)

// view is what the cook's progress says about what readings may do.
type view struct {
	mode  mode
	slope float64 // °C/s, of a pot that does as it did
	drift float64 // °C/s, of the last seconds
	lag   float64 // s, of the probe
	shown float64 // °C that the probe should show of a boiling pot by now; 0 when unknown
	water float64 // °C at which water boils here
	heeds bool    // a low level may be believed: the target is far, or the pull has been called
}

// view returns what to expect of the next reading.
func (s *State) view() view {
	v := view{mode: freely, drift: s.melt.slope, lag: s.est.lag}
	switch s.cook.phase {
	case Melt:
		v.mode = dryly
	case Cream:
		v.mode = creamed
	case Stall, Climb:
		v.mode = boiled
		v.water, _ = s.water()
		v.heeds = s.heedsLow()
		v.slope = s.heldSlope
		if s.cook.boils && s.recent.n > 0 {
			v.shown = s.runOn() - v.slope*v.lag
		}
	case Pulled, Dip, Done:
		v.mode = cooled
	}
	return v
}

// clamp keeps v between lo and hi. It is quicker than the built-in min and max,
// which tell 0 from −0.
func clamp[T float32 | float64](v, lo, hi T) T {
	if v < lo {
		return lo
	} else if v > hi {
		return hi
	}
	return v
}

// Limits of belief, °C. No dry melt is let above 300, and black sugar smokes
// long before; a syrup with cream in it boils away below 160.
const (
	coldest     = -30.0
	coldestMix  = 50.0 // twice as much cream as sugar, from the refrigerator
	hottestDry  = 300.0
	hottestWet  = 190.0
	surelyBlack = 235.0
	powerOnC    = 85.0
)

// judge says what is wrong with a reading, FaultNone when it is to be used.
func (k *cleaner) judge(at time.Duration, raw, c float64, v *view) probe.Fault {
	k.moved, k.rose = false, false
	k.track(at, raw, v)
	k.rough.add(c)
	if f := k.unbelievable(raw, c, v); f != probe.FaultNone {
		k.suspect(at, c)
		return f
	}
	if k.frozen(at) {
		return probe.FaultFrozen
	}
	k.tight = at < k.hotTo
	doubting := k.doubts > 0 && at-k.doubtAt < 5*time.Second
	if k.has && at-k.at > time.Minute && !doubting {
		k.has = false // too long ago to compare with
	}
	if !k.has {
		k.use(at, c, v)
		return probe.FaultNone
	}
	dt := secs(at - k.at)
	away := c - (k.last + v.slope*min(dt, 20))
	if v.shown != 0 && at >= k.trustsAt {
		away = c - v.shown
	}
	if k.rough.is {
		k.suspect(at, c)
		return probe.FaultNoise
	}
	if doubting {
		dt = min(dt, 20) // what is seen all the while does not become likelier
	}
	if k.allowed(c, away, dt, v) && k.returned(at, c, away) {
		k.use(at, c, v)
		return probe.FaultNone
	}
	k.stirred = false
	if k.doubts == 0 {
		k.torn = v.mode == boiled && beyondLag(c-k.last, dt, v.lag)
	}
	k.suspect(at, c)
	if k.confirmed(at, c, v) {
		k.moved, k.rose = true, away > 0
		k.use(at, c, v)
		return probe.FaultNone
	}
	return k.name(at, c, away, v)
}

// A spoon brings cooler syrup from the rim to the tip for some seconds. A
// boiling pot cannot cool so fast, so these readings are good ones of the
// wrong place: shown, but not taken for the pot's. What stays low is.
const (
	stirK     = 0.12 // °C under what the pot should show, and some noise
	stirDeep  = 3.2  // °C: what goes deeper is a probe lifted out
	stirMost  = 12 * time.Second
	stirTrust = 40 * time.Second
)

// stir reports whether c is a reading of a stirred tip.
func (k *cleaner) stir(at time.Duration, c float64, v *view) bool {
	if v.mode != boiled || v.shown == 0 || at < k.trustsAt {
		k.stirred = false
		return false
	}
	sd := max(min(k.noise, 1), k.step*0.4)
	low := c - v.shown
	switch {
	case !k.stirred && low < -stirK-3.5*sd:
		k.stirred, k.stirAt, k.stirLow = true, at, c
	case k.stirred && low > -stirK-1.5*sd:
		k.stirred = false
	}
	if !k.stirred {
		return false
	}
	k.stirLow = min(k.stirLow, c)
	most := stirMost
	if c > k.stirLow+stirK+2*sd { // on its way back, behind the probe's lag
		most += span(4 * v.lag)
	}
	if at-k.stirAt > most {
		k.stirred, k.trustsAt = false, at+stirTrust
	}
	return k.stirred
}

// track keeps the run of identical readings, the step and the pace.
func (k *cleaner) track(at time.Duration, raw float64, v *view) {
	if k.rawN > 0 && raw == k.raw {
		k.rawN = min(k.rawN+1, 1<<20)
		return
	}
	if d := math.Abs(raw - k.raw); k.rawN > 0 && d > 5e-4 && (k.step == 0 || d < k.step) {
		k.step = d
	}
	k.raw, k.rawAt, k.rawN = raw, at, 1
	k.rawSlope, k.rawNoise = v.slope, k.noise
}

// frozen reports whether the same digits have stood longer than a live probe
// in this pot would show them: the pot's climb should have moved them by
// several steps, or the noise should have.
func (k *cleaner) frozen(at time.Duration) bool {
	if k.rawN < 8 || k.step == 0 || at-k.rawAt < 5*time.Second {
		return false
	}
	t := secs(at - k.rawAt)
	if s := math.Abs(k.rawSlope); s > 1e-3 && t > 10+4*k.step/s {
		return true
	}
	return k.rawNoise >= 2*k.step && k.rawN >= 15
}

// unbelievable finds values that no pot shows at all.
func (k *cleaner) unbelievable(raw, c float64, v *view) probe.Fault {
	asF := (c - 32) / 1.8 // what it would be if it were °F
	switch {
	case raw == powerOnC && k.has && math.Abs(k.last-c) > 5:
		return probe.FaultPowerOn
	case v.mode >= boiled && c > hottestWet && asF > 80 && asF < 150,
		v.mode == freely && !k.has && c > 200 && c < 300,
		v.mode <= creamed && c > surelyBlack && asF > 100 && asF < 205 && k.has && c-k.last > 40:
		return probe.FaultUnit
	case c < coldest || c > hottestDry:
		return probe.FaultImpossible
	}
	return probe.FaultNone
}

// allowed reports whether a pot can have moved by away from where it was
// expected, dt seconds after the last used reading.
func (k *cleaner) allowed(c, away, dt float64, v *view) bool {
	switch v.mode {
	case freely, dryly:
		if k.last < 95 && away > 0 && away < 25+5*dt {
			return true // the probe goes into a hot pot
		}
		if k.undoes(c) {
			return true
		}
		if v.mode == dryly && away < 0 && k.last > 110 && c > coldestMix {
			return -away < chillLeast || -away < k.chill(dt, v) // cream, not yet told
		}
		return math.Abs(away) < 10+3*dt
	case creamed:
		if away < 0 {
			return c > coldestMix && (-away < chillLeast || -away < k.chill(dt, v))
		}
		return away < 8+2*dt || k.undoes(c)
	case boiled:
		most := 1.5
		if k.tight {
			most = 0.4
		}
		if away < 0 {
			most = stirDeep
		}
		return math.Abs(away) < most+6*min(k.noise, 1.5)+0.15*dt
	default:
		return math.Abs(away) < 3+6*min(k.noise, 1.5)+0.5*dt
	}
}

// chill returns how far cold cream can take the reading of a probe with this
// lag down in dt seconds, °C: it never shows at once what the pot has become.
func (k *cleaner) chill(dt float64, v *view) float64 {
	const most = 90.0 // from 180 °C to the far side of the coldest creaming
	if v.lag <= 0 {
		return most
	}
	return chillLeast + most*-math.Expm1(-dt/v.lag)
}

// chillLeast is what any two readings may be apart while cream goes in, °C.
const chillLeast = 5.0

// undoes reports whether c takes a sudden fall back, so that the fall was
// none.
func (k *cleaner) undoes(c float64) bool {
	return k.before > 0 && c > k.last && c < k.before+10
}

// returned reports whether a probe that was lifted out stands in the syrup
// again: not merely on its way through the right temperature.
func (k *cleaner) returned(at time.Duration, c, away float64) bool {
	if !k.lastLifted || k.doubts == 0 || math.Abs(away) < 0.6 {
		return true
	}
	dt := secs(at - k.doubtAt)
	return math.Abs(c-k.doubtC) < 0.3*dt+3*k.noise
}

// suspect adds a reading to the run of doubts.
func (k *cleaner) suspect(at time.Duration, c float64) {
	if k.doubts == 0 {
		k.doubtFrom = at
	}
	if k.doubts == 0 || math.Abs(c-k.settledC) > 1+3*min(k.noise, 1.5) {
		k.settledC, k.settledAt = c, at
	}
	k.doubts = min(k.doubts+1, 1<<20)
	k.doubtStep, k.doubtUp = math.Abs(c-k.doubtC), c > k.doubtC
	k.doubtSame = k.doubts > 1 && (c > k.last) == (k.doubtC > k.last)
	k.doubtC, k.doubtAt = c, at
}

// confirmed reports whether doubted readings have stayed at one level for long
// enough that the pot is there.
func (k *cleaner) confirmed(at time.Duration, c float64, v *view) bool {
	lasted, stayed := at-k.doubtFrom, at-k.settledAt
	switch v.mode {
	case freely, dryly, creamed:
		onward := k.doubtStep < 10 || k.doubtUp == (c > k.last)
		return k.doubts >= 2 && k.doubtSame && onward && (c > 60 || k.doubts >= 3)
	case boiled:
		return lasted > 25*time.Second && stayed > 8*time.Second && c > 60 && !k.holds(at, c, v)
	default:
		return lasted > 8*time.Second && stayed > 3*time.Second
	}
}

// use takes a reading as the pot's.
func (k *cleaner) use(at time.Duration, c float64, v *view) {
	if dt := secs(at - k.at); k.has && dt > 0 {
		if k.dt == 0 {
			k.dt = min(dt, 10)
		}
		k.dt += (min(dt, 10) - k.dt) / 16
		if k.doubts >= 3 {
			k.calmAt = at + 10*time.Second
		}
		if dt < 5 && k.doubts == 0 && at >= k.calmAt {
			// For white noise the mean distance of neighbours is 1.128 σ.
			d := min(math.Abs(c-k.last-v.drift*dt), 4) / 1.128
			if v.mode < boiled {
				d = min(d, 0.5)
			} else {
				d = min(d, 0.6+3*k.noise) // a leap is not noise yet
			}
			k.noise += (d - k.noise) / 24
			k.noisy = k.noise > 1.5 || k.noisy && k.noise > 1
		}
	}
	if k.before > 0 && at-k.beforeAt > 10*time.Second {
		k.before = 0
	}
	if k.has && k.before == 0 && c < k.last-10 {
		k.before, k.beforeAt = k.last, at
	}
	k.has, k.last, k.at = true, c, at
	k.doubts, k.lastLifted = 0, false
}

// reset forgets the level, so that the next reading is taken as it comes.
func (k *cleaner) reset() {
	k.has, k.doubts, k.lastLifted, k.rawN, k.rough = false, 0, false, 0, rough{}
}
