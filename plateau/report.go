package plateau

import (
	"math"

	"boildown/probe"
	"boildown/syrup"
)

// report fills in what stands after an input.
func (s *State) report(a *Advice) {
	c := &s.cook
	a.Phase, a.Stalled = c.phase, c.phase == Stall && c.boils
	a.Target, a.Near = s.cfg.Target, s.cfg.Near
	a.Peak = s.lift.peak
	if s.recent.n > 0 {
		a.Now, a.HasNow = s.pot(), true
		a.Slope = s.melt.slope * 60
		if m, ok := s.est.slope(); ok && c.boils {
			a.Slope = m
		}
		if s.plunge.air { // the pot as last seen, not the tip on its way to the air
			a.Now = probe.Celsius(s.plunge.top)
		}
	}
	a.Standing, a.Quiet = s.alerts.standing, s.alerts.quiet
	if s.blind.on {
		a.Doubt = s.blind.fault
	}
	if s.looks.due {
		s.looks.water, s.looks.hasWater = s.waterShare()
	}
	a.Water, a.HasWater = s.looks.water, s.looks.hasWater
	if c.phase == Melt || c.phase == Cream {
		s.reportCream(a)
	}
	s.reportDip(a)
}

// reportCream fills in what belongs to the melt and to the cream.
func (s *State) reportCream(a *Advice) {
	a.CreamG, a.HasCream = s.creamNow()
	a.CreamWait = s.creamWait()
	if s.cook.phase == Melt && a.HasCream {
		a.CreamPlanG = s.cream.most
	}
	if s.cook.phase == Cream {
		a.Floor = probe.Celsius(min(s.cream.boils-floorUnder, floorMostC))
		a.CreamInG, a.CreamPlanG = s.cream.cream, s.cream.most
		if s.cream.most > 0 {
			a.CreamInG = min(a.CreamInG, s.cream.most)
		}
		a.CreamAll = s.cream.offer.open && s.cream.offer.all
	}
	a.Dark, a.HasDark = s.untilDark()
	a.Uneven = s.unevenly()
}

// reportDip fills in how long until the dip window, and how long it lasts.
func (s *State) reportDip(a *Advice) {
	a.DipOpen, a.DipClose = s.cfg.DipOpen, s.cfg.DipClose
	if s.cook.phase != Pulled && s.cook.phase != Dip || s.recent.n == 0 {
		return
	}
	now, open, closed := s.melt.now, float64(s.cfg.DipOpen), float64(s.cfg.DipClose)
	in, ok1 := s.off.until(now, open)
	left, ok2 := s.off.until(now, closed)
	if gone := s.at - s.clean.at; gone > 0 { // nothing read since: the clock runs on
		in, left = max(in-gone, 0), max(left-gone, 0)
	}
	a.DipIn, a.DipLeft, a.HasDip = in, max(left-in, 0), ok1 && ok2
}

// waterShare returns water's share of the whole mass while the pot boils.
func (s *State) waterShare() (w float64, ok bool) {
	if !s.cfg.Batch.Known() || !s.cook.boils {
		return 0, false
	}
	all := s.cfg.Batch.Melt.Add(s.cfg.Batch.Cream)
	boils, _ := s.water()
	above := float64(s.pot()) - boils
	if above < 0.2 || all.Moles() <= 0 {
		return 0, false
	}
	z, _ := s.curve.Ratio(s.curve.WaterBoils() + above)
	g := z * syrup.WaterMolG * all.Moles()
	w = g / (g + all.Fat + all.Solutes)
	return w, w >= 0 && w <= 1 && !math.IsNaN(w)
}

// Past returns how far the pot stands over its target, 0 when it does not.
func (a Advice) Past() probe.Delta {
	if !a.HasNow {
		return 0
	}
	return probe.Delta(max(float64(a.Now-a.Target), 0))
}
