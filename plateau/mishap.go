package plateau

import (
	"math"
	"time"

	"boildown/probe"
)

// rough tells the leaps to and fro that a lead picks up near an induction hob
// from the steps of a pot or of a hand.
type rough struct {
	is    bool
	has   bool
	c     float64 // the last reading, °C
	up    bool    // the last leap went up
	since int     // readings since it
	share float64 // of the late readings that leapt back, 0–1
}

const roughK = 4.0 // °C from one reading to the next

func (r *rough) add(c float64) {
	d, back := c-r.c, 0.0
	r.since = min(r.since+1, 100)
	if r.has && math.Abs(d) > roughK {
		if r.since <= 3 && r.up != (d > 0) {
			back = 1
		}
		r.up, r.since = d > 0, 0
	}
	r.share += (back - r.share) / 12
	r.c, r.has = c, true
	r.is = r.share > 0.3 || r.is && r.share > 0.1
}

// beyondLag reports whether a probe of this lag cannot have moved by d, °C, in
// dt seconds, whatever it was dipped into: not from a boiling pot into ice, nor
// onto a bottom 40 °C hotter than what boils on it.
func beyondLag(d, dt, lag float64) bool {
	way := -math.Expm1(-dt / max(lag, 1))
	return d < -5-110*way || d > 2+40*way
}

// name says what is wrong with a doubted reading of a run of them.
func (k *cleaner) name(at time.Duration, c, away float64, v *view) probe.Fault {
	switch {
	case k.noisy:
		return probe.FaultNoise
	case k.doubts == 1:
		return probe.FaultSpike
	case k.torn:
		return probe.FaultJump
	case away < 0 && v.mode >= boiled:
		k.lastLifted = true
		if v.inSteam(c) && at-k.settledAt > 5*time.Second {
			return probe.FaultUncovered
		}
		return probe.FaultLifted
	case v.mode == boiled:
		k.hotTo = at + 20*time.Second
		return probe.FaultBottom // hotter than what boils can be, and not at once
	}
	return probe.FaultJump
}

// inSteam reports whether c is what a tip shows in the steam over a boiling
// pot: no syrup boils there.
func (v *view) inSteam(c float64) bool {
	return v.mode == boiled && c < v.water+0.5 && c > v.water-8
}

// holds reports whether a doubted level is still not to be believed, although
// it has stayed. A low level near the target would silence the pull, and one in
// the steam is no pot's; a pot that did get cold cream shows it by coming back
// to the boil. Nothing is held for ever: the pot may have been moved unmarked.
func (k *cleaner) holds(at time.Duration, c float64, v *view) bool {
	lasted := at - k.doubtFrom
	switch {
	case c < k.last && (k.torn || !v.heeds):
		return lasted < 8*time.Minute
	case k.torn:
		return lasted < 3*time.Minute
	case v.inSteam(c):
		return lasted < 4*time.Minute
	}
	return false
}

// heedsLow reports whether readings far below a boiling pot may be believed
// once they have stayed. Near the target that waits for the pull to have been
// called, and heard or left standing for a minute.
func (s *State) heedsLow() bool {
	if float64(s.cfg.Target)-s.blind.c > alarmBand {
		return true
	}
	l := &s.alerts
	return l.standing.Has(PullNow) && (l.quiet.Has(PullNow) || s.at-l.since[PullNow] > time.Minute)
}
