package plateau

import "time"

// alerts is what the cook has been told. A prompt begins once, stands while
// its reason does, and clears with hysteresis.
type alerts struct {
	standing Prompts
	quiet    Prompts // acknowledged
	since    [promptCount]time.Duration
	begun    Prompts       // ever begun
	stalled  time.Duration // the boil that Stalled was last raised in, +1
	lowered  time.Duration // and LowerHeat
	stuckAt  time.Duration // the forecast last stood, or was not due
	risesAt  time.Duration // it last did not
	unsureAt time.Duration // the forecast last did not stand on good readings
	laterAt  time.Duration // the target was last forecast to be some way off
	foam     bool          // foam and steam are about to come
}

// urgency orders the prompts that an acknowledgement may silence.
var urgency = [...]Prompt{
	PullNow, PastTarget, Scorch, Burn, ProbeFault, Seize, HoldCream, BoilOver, NearTarget,
	DipClosing, DipOpen, DipClosed, NotRising, LowerHeat, AddCream, Stir, Sample, Swirl, Stalled,
}

// acknowledge silences the most urgent prompt that stands and still sounds,
// and no other.
func (l *alerts) acknowledge() {
	for _, p := range urgency {
		if l.standing.Has(p) && !l.quiet.Has(p) {
			l.quiet = l.quiet.With(p)
			return
		}
	}
}

// clear ends a prompt.
func (l *alerts) clear(p Prompt) {
	l.standing, l.quiet = l.standing.Without(p), l.quiet.Without(p)
}

// forget ends a prompt and lets it begin anew.
func (l *alerts) forget(p Prompt) {
	l.clear(p)
	l.begun = l.begun.Without(p)
}

// once reports whether p, Stalled or LowerHeat, has not yet begun in the boil
// that began at boilAt.
func (l *alerts) once(p Prompt, boilAt time.Duration) bool {
	if p == Stalled {
		return l.stalled != boilAt+1
	}
	return l.lowered != boilAt+1
}

// raise begins p, if it does not stand already.
func (s *State) raise(a *Advice, p Prompt) {
	l := &s.alerts
	if l.standing.Has(p) {
		return
	}
	l.standing = l.standing.With(p)
	l.begun = l.begun.With(p)
	l.since[p] = s.at
	switch p {
	case Stalled:
		l.stalled = s.cook.boilAt + 1
	case LowerHeat:
		l.lowered = s.cook.boilAt + 1
	}
	a.Began = a.Began.With(p)
}

// hold begins p when on, and ends it when off. Between the two lies its
// hysteresis.
func (s *State) hold(a *Advice, p Prompt, on, off bool) {
	switch {
	case !s.alerts.standing.Has(p):
		if on {
			s.raise(a, p)
		}
	case off:
		s.alerts.clear(p)
	}
}

// pulse begins p again and again while on, to stand for a while each time.
func (s *State) pulse(a *Advice, p Prompt, on bool, every, stands time.Duration) {
	l := &s.alerts
	since := s.at - l.since[p]
	switch {
	case l.standing.Has(p):
		if !on || since > stands {
			l.clear(p)
		}
	case on && (!l.begun.Has(p) || since >= every):
		s.raise(a, p)
	}
}

// watch raises and clears every prompt.
func (s *State) watch(a *Advice) {
	s.watchMelt(a)
	s.watchCream(a)
	s.watchBoil(a)
	s.watchCooling(a)
	s.watchProbe(a)
}
