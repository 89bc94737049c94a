package plateau

import (
	"time"

	"boildown/probe"
)

// Step folds one input into the state and says what follows from it.
//
// Time is the input's own. An input earlier than the one before it changes
// nothing and its advice carries the fault "out of order"; one at the same
// time is fine.
func Step(s State, in Input) (_ State, a Advice) {
	s.step(&in, &a) // a result with a name spares a copy of the state
	return s, a
}

// longest bounds the clock, so that a time in ms fits into 32 bits; an input
// beyond it is refused like a late one.
const longest = 24 * 24 * time.Hour

// step folds the input into the state and fills in what follows from it, a
// being empty.
func (s *State) step(in *Input, a *Advice) {
	if in.At < s.at || in.At < 0 || in.At > longest {
		s.refuse(in, a)
		return
	}
	s.at = in.At
	s.looks.due = s.mustLook(in)
	a.At = in.At
	switch in.Kind {
	case Measured:
		s.measure(in, a)
	case Silent:
		s.doubt(probe.FaultSilent, a)
	case Marked:
		s.mark(in)
	case Retargeted:
		s.retarget(in.Target)
	case Acknowledged:
		s.alerts.acknowledge()
	case Undone:
		s.undo()
	case Resumed:
		s.resume()
	}
	look := s.looks.due || s.blind.on // the reading may just have failed
	if look {
		s.follow()
	}
	s.forecast(a)
	if look {
		s.watch(a)
	}
	s.report(a)
}

// refuse fills in the advice for an input that comes too late to be used.
func (s *State) refuse(in *Input, a *Advice) {
	a.At, a.Fault = s.at, probe.FaultOutOfOrder
	if in.Kind == Measured {
		a.C, a.HasC = s.corrected(in.C)
	}
	after := *s // asking leaves traces, and a refused input must leave none
	after.forecast(a)
	after.report(a)
}

// corrected applies the calibration; a number that no float should hold comes
// back as no value.
func (s *State) corrected(raw probe.Celsius) (c probe.Celsius, ok bool) {
	c = s.cfg.Calibration.Apply(raw)
	if !(c > -1e4 && c < 1e4) {
		return 0, false
	}
	return c, true
}

// measure corrects and cleans a reading and, if nothing speaks against it,
// uses it.
func (s *State) measure(in *Input, a *Advice) {
	if in.Fault != probe.FaultNone {
		if in.C != 0 {
			a.C, a.HasC = s.corrected(in.C)
		}
		s.doubt(in.Fault, a)
		return
	}
	if a.C, a.HasC = s.corrected(in.C); !a.HasC {
		s.doubt(probe.FaultImpossible, a)
		return
	}
	v := s.view()
	if f := s.clean.judge(in.At, float64(in.C), float64(a.C), &v); f != probe.FaultNone {
		s.doubt(f, a)
		return
	}
	if s.clean.moved {
		s.leap()
	}
	if s.followPlunge(float64(a.C)); s.plunge.air {
		s.doubt(probe.FaultLifted, a)
		return
	}
	if s.belied(float64(a.C)) {
		s.doubt(probe.FaultUncovered, a)
		return
	}
	s.blind.see(in.At)
	if s.clean.stir(in.At, float64(a.C), &v) {
		return
	}
	s.est.observe(in.At, a.C)
	s.recent.add(in.At, float64(a.C))
	s.feel(float64(a.C))
}

// doubt notes that there is no usable reading at this input.
func (s *State) doubt(f probe.Fault, a *Advice) {
	a.Fault = f
	if s.blind.miss(s.at, f) {
		s.est.gap(s.at)
	}
}

// leap follows the readings to a level that they have jumped to and stayed at.
func (s *State) leap() {
	s.est.gap(s.at)
	s.recent.clear()
	switch p := s.cook.phase; {
	case p == Melt && !s.clean.rose && s.melt.top > dryC:
		s.plunged()
	case p != Stall && p != Climb:
	case s.clean.rose: // it boils on, hotter than it was taken for
		s.est.restart(s.at)
	default:
		s.backToCream()
	}
}

// retarget sets another endpoint.
func (s *State) retarget(target probe.Celsius) {
	t := probe.Celsius(within(float64(target), -50, 400, float64(s.cfg.Target)))
	if t == s.cfg.Target {
		return
	}
	s.cfg.Target = t
	s.est.retarget(t)
	s.alerts.forget(NearTarget)
}

// resume goes on after a break in the record. The pot may be anywhere.
func (s *State) resume() {
	s.clean.reset()
	s.recent.clear()
	s.est.gap(s.at)
}

// feel keeps up the quick looks at the pot after each used reading.
func (s *State) feel(c float64) {
	if s.cook.phase >= Pulled {
		s.off.add(s.at, c)
	}
	if !s.looks.due {
		return
	}
	s.melt.feel(s, c)
	s.boiling.feel(s)
	s.locate()
	s.cream.feel(s)
	s.lift.feel(s)
}
