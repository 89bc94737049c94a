package plateau

import "time"

// A dry melt on the heat falls by tens of degrees for two reasons only: cream
// goes in, or the tip is no longer in it. Cream stops falling when the pouring
// does, and then climbs as the hob heats what is in the pot, or boils. A tip in
// the air goes on falling by Newton's law, slower and slower, does not climb,
// and leaps back faster than any hob when it goes in again. Until the readings
// or the cook tell which it is, the melt is taken to heat on.

// plunge is a fall in the dry melt of which nobody told, and what it was.
type plunge struct {
	on     bool
	air    bool          // the tip is taken to be out of the melt: its readings are doubted
	seen   bool          // it has done what only a pot with cream in it does
	slows  bool          // it has slowed for some seconds, as between two portions
	top    float64       // °C of the melt before it
	rose   float64       // °C/s that the melt climbed there
	at     time.Duration // when it began
	low    float64       // °C, the lowest since
	lowAt  time.Duration // and when
	from   float64       // °C at the beginning of the stretch looked at
	since  time.Duration // and its time
	backAt time.Duration // when the tip went in again; 0 before
}

// How a fall is told: our own choice, no source.
const (
	liftBackK  = 6.0              // so near the old line, the pot has not had cream
	creamedK   = 40.0             // so far under it, a tip that is in again stands in cream
	liftDropC  = 20.0             // in 14 s, where no cream was asked for
	leapK      = 8.0              // in one stretch, faster than a hob, is a tip that goes in again
	leapSlope  = 1.2              // °C/s, likewise, or three times what the melt climbed
	stretch    = 6 * time.Second  // looked at at once, and the probe's lag
	slowFall   = 0.35             // °C/s for 20 s: no pot cools so fast by itself
	creamSlope = 0.1              // °C/s that a hob gives a creaming at least
	surelyRose = 10.0             // K that no air over a pot warms by before the melt is black
	airShare   = 0.3              // of its mean fall that a tip in air still falls after airAfter
	airAfter   = 20 * time.Second // poured as told, the first cream is in by then
	airStands  = 25 * time.Second // and three of the probe's lags: by then any pot climbs again
	airDeep    = 30.0             // K that a portion as told does not take
	boilStands = 30 * time.Second // without a lower reading: a tip in air no hotter than steam still falls
	boilOver   = 3.0              // K over water's boiling point, where it does
	sugarStays = time.Minute      // that cold sugar takes to warm to the melt
)

// plunges reports whether a dry melt falls as hot spots round a tip in
// half-molten sugar never do: quickly, or for long; and not because something
// cold that was told of went in.
func (s *State) plunges(c float64) bool {
	top, ok := s.recent.highest(14, 1)
	told := s.cook.marks.has(MarkAdded) && s.at-s.cook.addedAt < sugarStays
	if !ok || told || s.melt.top <= dryC {
		return false
	}
	if least := s.plungeLeast(); c < top-least {
		return top > dryC
	}
	l := s.recent.line(s.at, 20)
	top, _ = s.recent.highest(30, 1)
	return l.ok && l.n >= 16 && top > dryC && c < top-creamDropC && l.slope < -slowFall-3*l.err
}

// plungeLeast is how far a melt that falls quickly must fall, K.
func (s *State) plungeLeast() float64 {
	if s.creamy() {
		return creamDropC
	}
	return liftDropC
}

// creamy reports whether cream may go in: it was as good as asked for.
func (s *State) creamy() bool {
	clear := s.cook.look == MarkLookClear || s.cook.look == NoMark
	return s.cook.phase == Melt && clear && s.melt.top > creamFromC-3
}

// plunged takes a fall of the melt for cream where cream was asked for, else
// for a tip that is out of the melt.
func (s *State) plunged() {
	p := &s.plunge
	if p.on {
		return
	}
	top, ok := s.recent.highest(30, 1)
	if !ok {
		top = s.melt.top
	}
	*p = plunge{on: true, top: top, rose: s.boiling.melted, at: s.at - 3*time.Second,
		from: s.clean.last, since: s.at, low: s.clean.last, lowAt: s.at}
	if p.air = !s.creamy(); !p.air {
		s.startCream(p.at)
	}
}

// followPlunge looks at a reading after a fall.
func (s *State) followPlunge(c float64) {
	p := &s.plunge
	switch {
	case !p.on:
		return
	case s.cook.phase > Cream || s.cook.marks.has(MarkCreamStart) || s.cook.ended:
		s.endPlunge() // the cook has told what it was
		return
	case p.backAt > 0:
		s.settle(c)
		return
	}
	if c < p.low {
		p.low, p.lowAt = c, s.at
	}
	slope := (c - p.from) / max((s.at-p.since).Seconds(), 1)
	leaps := c-p.from > leapK && slope > max(leapSlope, 3*p.rose)
	switch {
	case c > p.top-liftBackK, leaps:
		s.tipBack()
		s.settle(c)
	case s.at-p.since >= stretch+s.cfg.Lag || !p.seen && s.climbsAgain(c):
		s.lookAtPlunge(c, slope)
		p.from, p.since = c, s.at
	}
}

// lookAtPlunge judges a fall by one stretch of it.
func (s *State) lookAtPlunge(c, slope float64) {
	p := &s.plunge
	old := s.at - p.at
	if p.seen = p.seen || s.climbsAgain(c) || s.boilsAgain(c) || old > airAfter && p.halts(s, c, slope); p.seen {
		if p.air {
			p.air = false
			s.clean.reset()
			s.recent.clear()
			s.startCream(s.at)
		}
		return
	}
	if p.air {
		return
	}
	slope = max(slope, s.recent.line(s.at, 5).slope)
	stands := old > airStands+3*s.cfg.Lag && c < s.lowWater()+2 && slope > -0.5 && slope < creamSlope
	p.slows = p.slows || slope > -airShare*p.fell(s.at, c)
	if c < coldestMix || old > airAfter && (stands || !p.slows && c < p.top-airDeep) {
		p.air = true
		s.cook.phase = Melt
	}
}

// lowWater is water's boiling point, or as low as a guess at it may be of a
// kitchen far higher up, °C.
func (s *State) lowWater() float64 {
	w, sd := s.water()
	return w - 2*min(sd, 3)
}

// fell is how fast it has fallen since it began, °C/s.
func (p *plunge) fell(at time.Duration, c float64) float64 {
	return (p.top - c) / (at - p.at).Seconds()
}

// halts reports whether the fall has stopped, between two portions, where no
// air is so hot.
func (p *plunge) halts(s *State, c, slope float64) bool {
	return c > s.lowWater()+5 && slope > -0.1*p.fell(s.at, c) && slope < creamSlope
}

// boilsAgain reports whether the pot stands where a syrup boils, without
// falling any further.
func (s *State) boilsAgain(c float64) bool {
	w, _ := s.water()
	return c > w+boilOver+s.clean.step && s.at-s.plunge.lowAt > boilStands
}

// climbsAgain reports whether the pot has climbed since its lowest as a hob
// makes it, which a tip in the air does not: surely, where it was taken for
// one. A syrup that boils climbs slower than that, and is hotter than air.
func (s *State) climbsAgain(c float64) bool {
	p := &s.plunge
	w, _ := s.water()
	boils := c > s.lowWater()+s.clean.step // no air is so hot
	rise, dt := 0.5+3*min(s.clean.noise, 1.5), (s.at - p.lowAt).Seconds()
	if p.air && c < w+s.clean.step {
		rise++
	}
	rose, slope := c-p.low, (c-p.low)/max(dt, 1)
	quick := slope > creamSlope || rose > surelyRose || boils
	return rose > rise && dt >= 5 && quick && slope < max(1.5*p.rose, 0.8)
}

// tipBack takes the readings for the pot's again.
func (s *State) tipBack() {
	p := &s.plunge
	p.backAt = s.at
	if p.air {
		s.clean.reset()
		s.recent.clear()
		s.est.gap(s.at)
		p.air = false
	}
}

// settle waits until the tip shows the pot that it is in again, and tells from
// where that stands whether cream went in meanwhile.
func (s *State) settle(c float64) {
	p := &s.plunge
	switch p.from = max(p.from, c); {
	case c > p.top-liftBackK:
		s.cook.phase = Melt
	case c < p.from-leapK: // out once more
		p.air, p.backAt = s.cook.phase == Melt, 0
		p.low, p.lowAt, p.from, p.since = c, s.at, c, s.at
		return
	}
	if s.at-p.backAt < max(3*s.cfg.Lag, stretch) {
		return
	}
	s.recent.clear() // of the tip's way back
	if c < dryC && c < p.top-creamedK {
		s.startCream(s.at)
	}
	s.endPlunge()
}

// settles reports whether the tip is on its way into the pot, so that its slope
// says nothing of it.
func (s *State) settles() bool { return s.plunge.on && s.plunge.backAt > 0 }

// endPlunge takes the readings for the pot's again, the fall being explained.
func (s *State) endPlunge() {
	if s.plunge.air {
		s.tipBack()
	}
	s.plunge = plunge{}
}

// coolestColour is under what no dry sugar has taken colour or melted clear,
// °C: published melting begins at 150; see reference-physics §4.
const coolestColour = 135.0

// belied reports whether the cook sees what the probe denies: sugar that has
// taken colour or is clear, round a tip that never was so hot. It is not in it.
func (s *State) belied(c float64) bool {
	if s.cook.phase != Melt || s.melt.top > dryC || s.cook.look != MarkLookColouring && s.cook.look != MarkLookClear {
		return false
	}
	if b := s.cfg.Batch.Melt; b.Mass() > 0 && b.Water < 0.01*b.Mass() {
		return c < coolestColour
	}
	w, _ := s.water() // sugar melted with water is clear where it boils
	return c < w-4
}

// guessed is what the melt may have reached while its readings fail, or lag far
// behind it, run on as fast as it climbed, °C.
func (s *State) guessed() float64 {
	c, since := s.melt.now, s.blind.since
	if s.plunge.air || s.settles() {
		c, since = s.plunge.top, s.plunge.at
	} else if c < sampleFromC {
		return c // far from it, and the probe's own alarm stands
	}
	rise := guessRise
	if m := s.boiling.melted; m > 0 {
		rise = clamp(m, 0.3, 1)
	}
	return c + rise*(s.at-since).Seconds()
}

const guessRise = 0.5 // °C/s of a melt of which nothing else is known
