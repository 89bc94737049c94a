package main

import (
	"fmt"
	"math"
	"time"

	"boildown/probe"
)

// What a probe must do for a time before its reading counts as that of a bath.
// Our own choice, no source: the drift is a quarter of a degree Fahrenheit, and
// a rolling boil on a noisy probe still passes.
const (
	steadyFor    = 30 * time.Second
	steadyCount  = 8                 // readings in that time, at least
	steadyGap    = 6 * time.Second   // between two of them, at most
	steadyDrift  = probe.Delta(0.15) // over the whole time
	steadySpread = probe.Delta(0.3)  // standard deviation about the drift
)

// steadiness looks at the last readings of a bath.
type steadiness struct {
	span time.Duration // 0 is read as steadyFor
	kept []probe.Reading
}

// add takes the next reading; a fault or a gap begins the look anew.
func (s *steadiness) add(r probe.Reading) {
	if r.Fault != probe.FaultNone {
		if r.Fault != probe.FaultGarbled && r.Fault != probe.FaultEmpty { // a torn line says nothing of the bath
			s.kept = s.kept[:0]
		}
		return
	}
	if n := len(s.kept); n > 0 && r.At-s.kept[n-1].At > steadyGap {
		s.kept = s.kept[:0]
	}
	s.kept = append(s.kept, r)
	for len(s.kept) > 1 && r.At-s.kept[1].At >= s.over() {
		s.kept = s.kept[1:]
	}
}

func (s *steadiness) over() time.Duration {
	if s.span == 0 {
		return steadyFor
	}
	return s.span
}

// bathLook is what the readings kept come to.
type bathLook struct {
	mean   probe.Celsius
	drift  probe.Delta   // over the time looked at
	spread probe.Delta   // standard deviation about the drift
	over   time.Duration // of the readings kept
	count  int
}

// look fits a straight line through the readings kept.
func (s *steadiness) look() bathLook {
	n := len(s.kept)
	if n < 2 {
		return bathLook{count: n}
	}
	var st, sc float64
	for _, r := range s.kept {
		st += r.At.Seconds()
		sc += float64(r.C)
	}
	mt, mc := st/float64(n), sc/float64(n)
	var tt, tc, cc float64
	for _, r := range s.kept {
		dt, dc := r.At.Seconds()-mt, float64(r.C)-mc
		tt += dt * dt
		tc += dt * dc
		cc += dc * dc
	}
	over := s.kept[n-1].At - s.kept[0].At
	b := bathLook{mean: probe.Celsius(mc), over: over, count: n}
	if tt > 0 {
		slope := tc / tt
		b.drift = probe.Delta(slope * over.Seconds())
		b.spread = probe.Delta(math.Sqrt(max(cc-slope*tc, 0) / float64(max(n-2, 1))))
	}
	return b
}

// steady reports whether the bath can be taken at its reading.
func (s *steadiness) steady() bool {
	b := s.look()
	return b.over >= s.over()*9/10 && b.count >= steadyCount && b.calm() && b.level()
}

func (b bathLook) calm() bool { return b.spread <= steadySpread }

func (b bathLook) level() bool {
	return b.drift <= steadyDrift && b.drift >= -steadyDrift
}

// moving reports whether the readings go one way, and more than they jump.
func (b bathLook) moving() bool {
	d := probe.Delta(math.Abs(float64(b.drift)))
	return d > steadyDrift && d > 2*b.spread
}

// pace says which way the readings go, and how fast.
func (b bathLook) pace(u probe.Unit) string {
	way := "rising"
	if b.drift < 0 {
		way = "falling"
	}
	perMinute := probe.Delta(math.Abs(float64(b.drift)) / b.over.Minutes())
	return fmt.Sprintf("still %s, %s a minute", way, u.Diff(perMinute, 1))
}

// recent is the last third of the time, which says what goes on now.
func (s *steadiness) recent() *steadiness { return s.last(s.over() / 3) }

func (s *steadiness) last(span time.Duration) *steadiness {
	from := len(s.kept)
	for from > 0 && s.kept[len(s.kept)-1].At-s.kept[from-1].At <= span {
		from--
	}
	return &steadiness{span: s.span, kept: s.kept[from:]}
}

// reading is what a steady bath comes to: the mean of the later half, in which
// the tip has followed the bath.
func (s *steadiness) reading() probe.Celsius { return s.last(s.over() / 2).look().mean }

// words say what is still to wait for.
func (s *steadiness) words(u probe.Unit) string {
	b, recent := s.look(), s.recent().look()
	switch {
	case b.count < 2 || recent.count < 2:
		return "waiting for readings"
	case recent.moving():
		return recent.pace(u)
	case b.moving() && b.calm():
		return b.pace(u)
	case !recent.calm():
		return fmt.Sprintf("jumping about by %s: hold the tip still, off the wall", u.Diff(2*recent.spread, 1))
	case !b.calm() || !b.level():
		return "settling"
	case b.over < s.over()*9/10:
		return fmt.Sprintf("level for %.0f of %.0f s", b.over.Seconds(), s.over().Seconds())
	case b.count < steadyCount:
		return fmt.Sprintf("too few readings to judge by: %d in %.0f s", b.count, b.over.Seconds())
	}
	return "steady"
}
