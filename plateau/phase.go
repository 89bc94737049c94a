package plateau

import "time"

// stallHeight is how far above water's boiling point the stall ends and the
// climb begins: 12 °F.
const stallHeight = 12 / 1.8 // K

// follow moves the cook on to the phase that the readings show.
func (s *State) follow() {
	if !s.clean.has || s.clean.at != s.at {
		return // nothing new was read
	}
	switch s.cook.phase {
	case Wait, Melt:
		s.followMelt()
	case Cream:
		s.followCream()
	case Stall, Climb:
		s.followBoil()
	case Pulled, Dip, Done:
		s.followCooling()
	}
}

// A melt is told by itself once the pot is warm and warms, or is hotter than
// anything with water in it.
const (
	meltWarmC  = 45.0
	meltSlope  = 1.5 / 60 // °C/s
	dryC       = 125.0    // no fresh syrup with cream in it is so hot
	creamDropC = 12.0     // a fall that only cream makes
)

// followMelt looks for the melt, for cream that nobody told of, and for a pot
// that boils already.
func (s *State) followMelt() {
	m, c := &s.melt, &s.cook
	if c.phase == Wait && (m.now > dryC+5 || m.first < coldStart && m.now > meltWarmC && m.slope > meltSlope) {
		c.onAt = s.at
		s.cook.phase = Melt
	}
	if m.drops >= 2 {
		m.drops = 0
		s.plunged()
		return
	}
	if c.phase == Melt && c.marks.has(MarkMeltStart) && m.top < dryC {
		return // sugar melts dry: nothing boils before the cream is in
	}
	if s.boilsUntold() {
		c.sugar = !s.hotStart() || s.sugarShows(s.bend.c, s.creep())
		s.boil(s.boiling.flatAt)
	}
}

// creep is by how much a pot must have risen since it stood still to hold more
// than water, K.
func (s *State) creep() float64 { return 0.35 + 1.5*s.clean.noise + s.clean.step }

// boilsUntold reports whether a pot of which nothing was told boils with sugar
// in it: it stands clearly over water's boiling point, and creeps up. Plain
// water stands still at its own boiling point; dry sugar runs through without
// slowing down; a pot off the heat falls.
func (s *State) boilsUntold() bool {
	b, m := &s.boiling, &s.melt
	w, _ := s.water()
	now, _ := s.recent.mean(6)
	dry := m.top > dryC
	if now < w-4 || now > dryC || dry && now > m.top-creamDropC || s.at-b.clearAt > strays {
		return false
	}
	if m.first < coldStart && !dry && b.slope > 0.2*b.melted {
		return false // no slower than it warmed all along
	}
	rise := s.creep()
	needed := 35 * time.Second
	if float64(s.cfg.Target)-now < alarmBand {
		needed = 20 * time.Second
	}
	var fell time.Duration
	if dry {
		fell = m.fellAt
	}
	// What counts is where the pot stood, since one that boils dry or a spike
	// leaps up from water's boiling point.
	if b.flat && s.at-max(b.flatAt, fell) > needed && s.sugarShows(b.flatC, rise) {
		return true
	}
	if k := &s.bend; s.hotStart() && k.span > needed.Seconds() && k.boils(s.at, 2*bendHolds) {
		return true // the forecast will wait for a sign of sugar
	}
	needed += 10 * time.Second
	old, ok := s.recent.before(needed)
	return b.steady && s.at-max(b.steadyAt, fell) > needed && now > s.overWater() && (dry || ok && old > s.overWater())
}

// hotStart reports whether the batch was first looked at when the pot stood on
// the heat already, and its phase is not known yet.
func (s *State) hotStart() bool { return s.cook.phase == Wait && s.melt.first > coldStart }

// coldStart is what a batch watched from its beginning starts under, °C.
const coldStart = 60.0

// overWater is what plain water does not reach, °C.
func (s *State) overWater() float64 {
	w, _ := s.water()
	switch {
	case s.cfg.Pressure == 0:
		return max(w+1, highestWater)
	case s.hotStart():
		return w + 1.5 // a cook who comes to the program in mid-boil boils no water
	}
	return w + 2
}

// sugarShows reports whether the pot that reads now holds dissolved sugar: it
// was hotter than any water before, it is hotter than water's boiling point
// now, or it has risen since it stood still, as water never does.
func (s *State) sugarShows(now, rise float64) bool {
	return s.melt.top > dryC || now > s.overWater() || s.boiling.risen(s, rise)
}

// highestWater is the hottest that plain water can seem to boil on a probe
// that reads 1.5 °C too high in fine weather at sea level.
const highestWater = 102.3 // °C

// followCream looks for the moment from which the whole pot boils.
func (s *State) followCream() {
	c, b := &s.cook, &s.boiling
	w, sd := s.water()
	if b.steady && s.at-max(b.steadyAt, c.creamAt, c.endAt) > 75*time.Second && s.melt.now > w+sureBoilK {
		s.boil(s.at - 60*time.Second)
		return
	}
	if s.melt.now < w+0.8-2*min(sd, 3) || s.melt.now > w+45 {
		return
	}
	k := &s.bend
	told := c.ended && k.boils(s.at, bendHolds)
	// The jug may come again: what stood still for as long as a cook waits
	// between two portions has had its last.
	seen := k.span > 35 && k.boils(s.at, 2*bendHolds)
	if (told || seen) && s.creamBoils(w) {
		s.boil(max(k.at, c.creamAt))
	}
}

// creamBoils reports whether a pot that stands still holds more than water.
// A cook who marks cream is believed, unless the pot stands where plain water
// is known to boil.
func (s *State) creamBoils(waterC float64) bool {
	const told = 1<<MarkCreamStart | 1<<MarkCreamEnd
	if s.cook.marks&told != 0 && (s.cfg.Pressure == 0 || s.melt.now > waterC+0.5) {
		return true
	}
	return s.sugarShows(s.melt.now, s.creep())
}

// sureBoilK is so far above water's boiling point that no pot with fresh cream
// in it gets there without boiling, K: with 0.6 g of cream to a gram of sugar it
// boils at 8, with condensed milk at 12.
const sureBoilK = 12.0

// boil enters the stall, or the climb where the pot is past the stall already.
func (s *State) boil(at time.Duration) {
	c := &s.cook
	c.boils, c.boilAt, c.rewarmed = true, min(at, s.at), false
	s.est.boilBegan(c.boilAt)
	if s.lift.peak == 0 {
		s.lift.again()
	}
	s.cook.phase = Stall
	if s.overStall(0) {
		s.cook.phase = Climb
	}
	s.alerts.foam = true
}

// stallBack is how far the pot must fall below the end of the stall to be in
// it again.
const stallBack = 0.8 // K

// followBoil moves between stall and climb and finds a pot that left the heat.
func (s *State) followBoil() {
	c, b := &s.cook, &s.boiling
	if !c.sugar {
		now, n := s.recent.mean(10)
		c.sugar = n >= 3 && (now > s.overWater() || now > s.bend.c+s.creep())
	}
	if c.rewarmed {
		w, _ := s.water()
		if b.flat && s.at-b.flatAt > 8*time.Second && s.melt.now > w+0.8 && s.at-c.onAt > 10*time.Second {
			s.boil(b.flatAt)
		}
		return
	}
	switch {
	case c.phase == Stall && s.overStall(0):
		s.cook.phase = Climb
	case c.phase == Climb && !s.overStall(-stallBack):
		s.cook.phase = Stall
	}
	if b.falls && s.at-b.fallsAt > 30*time.Second && s.melt.now < float64(s.lift.peak)-1.5-3*s.clean.noise && s.stillFalls() {
		s.pulled(b.fallsAt)
	}
}

// stillFalls reports whether the last seconds go down as well: a probe on its
// way back from a stirred-in cold spot has a fall behind it, and climbs.
func (s *State) stillFalls() bool {
	t := s.recent.line(s.at, 8)
	return !t.ok || t.slope < 0
}

// followCooling moves through the dip window, and finds a pot that is back on
// the heat.
func (s *State) followCooling() {
	c := &s.cook
	now := s.melt.now
	open, closed := float64(s.cfg.DipOpen), float64(s.cfg.DipClose)
	const back = 0.6 // K
	switch c.phase {
	case Pulled:
		if now <= open && s.at-c.pullAt > 10*time.Second {
			s.cook.phase = Dip
		}
	case Dip:
		if now < closed {
			s.cook.phase = Done
		} else if now > open+3*back {
			s.cook.phase = Pulled
		}
	case Done:
		if now > closed+back {
			s.cook.phase = Dip
		}
	}
	if c, n := s.recent.mean(5); n > 1 && s.off.coldest > 0 && c > s.off.coldest+3 && s.boiling.slope > 1.5/60 || s.climbsOffHeat() {
		s.backOn(s.at)
	}
}

// climbsOffHeat reports whether a pot that is taken to be off the heat has
// climbed for a minute, however slowly: then it never left, or is back.
func (s *State) climbsOffHeat() bool {
	const after, wait = 60, 90 * time.Second // what the base still gives is over by then
	if s.at-s.cook.pullAt < wait || s.melt.now < s.off.coldest+0.3 {
		return false
	}
	all, late := s.recent.line(s.at, after), s.recent.line(s.at, after/2)
	return all.ok && late.ok && all.slope > 0.1/60+4*max(all.err, 0.15*s.clean.step/after) && late.slope > 0
}
