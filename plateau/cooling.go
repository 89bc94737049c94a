package plateau

import (
	"math"
	"time"

	"boildown/syrup"
)

// cooling fits Newton's law of cooling to the pot off the heat: ln(T − room)
// falls along a straight line.
type cooling struct {
	on      bool
	at      time.Duration // the pot left the heat
	room    float64       // °C
	coldest float64       // °C since the pot left the heat; 0 before the first reading
	// Sums of a fit of ln(T − room) against seconds since at, old readings
	// fading over some two minutes.
	n, st, sy, stt, sty float64
	last                time.Duration
}

const (
	guessRoom    = 22.0    // °C
	coolingSkip  = 8.0     // s: it still boils, and stored heat still rises into it
	coolingFades = 120.0   // s
	tauLeast     = 60.0    // s; a spoonful cools slower
	tauMost      = 20000.0 // s
	tauGuess     = 1300.0  // s; 0.9 kg in a bare steel pot
)

// begin starts the fit as the pot leaves the heat, with the readings since
// then where the cook tells it late.
func (k *cooling) begin(at time.Duration, r *recent) {
	*k = cooling{on: true, at: at, room: guessRoom, last: at}
	for i := r.n - 1; i >= 0; i-- {
		sec := r.head - i
		if b := &r.bins[sec&recentMask]; b.n > 0 && time.Duration(sec)*time.Second > at {
			k.add(time.Duration((float64(sec)+b.t())*1e9), float64(b.c))
		}
	}
}

// add takes one reading of the cooling pot.
func (k *cooling) add(at time.Duration, c float64) {
	if !k.on {
		return
	}
	if k.coldest == 0 || c < k.coldest {
		k.coldest = c
	}
	t := (at - k.at).Seconds()
	if t < coolingSkip || c < k.room+5 || at <= k.last {
		return
	}
	fade := math.Exp(-(at - k.last).Seconds() / coolingFades)
	k.last = at
	y := math.Log(c - k.room)
	k.n = k.n*fade + 1
	k.st = k.st*fade + t
	k.sy = k.sy*fade + y
	k.stt = k.stt*fade + t*t
	k.sty = k.sty*fade + t*y
}

// tau returns the time constant in s, a guess until the pot has cooled enough
// to show its own.
func (k *cooling) tau() (s float64, fitted bool) {
	if k.n < 5 {
		return tauGuess, false
	}
	v := k.stt/k.n - (k.st/k.n)*(k.st/k.n)
	if v < 9 { // three seconds' spread
		return tauGuess, false
	}
	slope := (k.sty/k.n - k.st/k.n*k.sy/k.n) / v
	if !(slope < -1/tauMost) {
		return tauGuess, false
	}
	return max(-1/slope, tauLeast), true
}

// until returns how long the pot takes from now °C to c °C.
func (k *cooling) until(now, c float64) (time.Duration, bool) {
	tau, _ := k.tau()
	s := syrup.CoolingSeconds(now, c, k.room, tau)
	if math.IsInf(s, 0) || math.IsNaN(s) {
		return 0, false
	}
	return span(s), true
}

// closingAhead is how long before its end the dip window is said to close.
const closingAhead = 15 * time.Second

// watchCooling raises what belongs to the dip.
func (s *State) watchCooling(a *Advice) {
	c := &s.cook
	dips := c.phase == Dip
	s.hold(a, DipOpen, dips, !dips)
	quarter := float64(s.cfg.DipOpen-s.cfg.DipClose) / 4
	closing := false
	if dips && s.melt.now < float64(s.cfg.DipClose)+2*quarter {
		left, ok := s.off.until(s.melt.now, float64(s.cfg.DipClose))
		closing = ok && (left <= closingAhead || s.melt.now < float64(s.cfg.DipClose)+quarter)
	}
	s.hold(a, DipClosing, closing, !dips || s.melt.now > float64(s.cfg.DipClose)+3*quarter)
	s.hold(a, DipClosed, c.phase == Done, c.phase != Done)
}
