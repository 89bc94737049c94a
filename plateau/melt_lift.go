package plateau

import (
	"time"

	"boildown/probe"
)

// A dry melt on the heat falls by tens of degrees for two reasons only: cream
// goes in, or the tip is no longer in it. Cream stops falling when the pouring
// does, and then climbs as the hob heats what is in the pot. A tip in the air
// goes on falling by Newton's law, slower and slower, does not climb, and leaps
// back faster than any hob when it goes in again.

// plunge is a fall in the dry melt of which nobody told, and what it was.
type plunge struct {
	on     bool
	air    bool          // the tip is taken to be out of the melt: its readings are doubted
	cream  bool          // it has climbed again as a hob makes a creaming climb
	pauses bool          // it has stopped for some seconds, as between two portions
	top    float64       // °C of the melt before it
	rose   float64       // °C/s that the melt climbed there
	at     time.Duration // when it began
	low    float64       // °C, the lowest since
	lowAt  time.Duration // and when
	from   float64       // °C at the beginning of the stretch looked at
	since  time.Duration // and its time
}

// How a fall is told. All but the coldest creaming are our own choice, no source.
const (
	liftBackK   = 6.0               // so near the old line, the pot has not had cream
	liftDropC   = 20.0              // in 14 s, where no cream was asked for
	leapK       = 8.0               // in one stretch, faster than a hob, is a tip that goes in again
	leapSlope   = 1.2               // °C/s, likewise, or three times what the melt climbed
	stretch     = 6 * time.Second   // looked at at once, and the probe's lag
	slowFall    = 0.35              // °C/s for 20 s: no pot cools so fast by itself
	creamSlope  = 0.1               // °C/s that a hob gives a creaming at least
	airShare    = 0.3               // of its mean fall that a tip in air still falls after airAfter
	airAfter    = 20 * time.Second  // poured as told, the first cream is in by then
	airStands   = 25 * time.Second  // and three of the probe's lags: by then any pot climbs again
	airDeep     = 30.0              // K that a portion as told does not take
	coldestPour = 80.0              // °C: all the cream at once, from the refrigerator; see reference-physics §6
	liftLongest = 150 * time.Second // then the pot may have been moved or left: its readings are taken again
)

// plunges reports whether a dry melt falls as hot spots round a tip in
// half-molten sugar never do: quickly, or for long.
func (s *State) plunges(c float64) bool {
	top, ok := s.recent.highest(14, 1)
	if !ok || s.melt.top <= dryC {
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
	top, ok := s.recent.highest(30, 1)
	if !ok {
		top = s.melt.top
	}
	*p = plunge{on: true, top: top, rose: s.boiling.melted, at: s.at - 3*time.Second,
		from: s.melt.now, since: s.at, low: s.clean.last, lowAt: s.at}
	if p.air = !s.creamy(); !p.air {
		s.startCream(p.at)
	}
}

// judge looks at a reading after a fall, and says what is wrong with it.
func (p *plunge) judge(s *State, c float64) probe.Fault {
	if !p.on {
		return probe.FaultNone
	}
	if s.cook.phase > Cream || s.cook.marks.has(MarkCreamStart) || s.cook.ended {
		p.end(s) // the cook has told what it was
		return probe.FaultNone
	}
	if c < p.low {
		p.low, p.lowAt = c, s.at
	}
	slope := (c - p.from) / max((s.at-p.since).Seconds(), 1)
	switch {
	case c > p.top-liftBackK, c-p.from > leapK && slope > max(leapSlope, 3*p.rose):
		p.end(s)
		if s.cook.phase == Cream {
			s.cook.phase = Melt
		}
		return probe.FaultNone
	case s.at-p.at > liftLongest && p.air:
		top := s.melt.top
		p.end(s)
		if c > coldestMix && c < dryC && top > dryC {
			s.startCream(s.at) // by now a tip in the air would be cooler
			return probe.FaultNone
		}
		s.melt.top, s.melt.hotAt = c, 0
		return probe.FaultNone
	case s.at-p.since >= stretch+s.cfg.Lag || !p.cream && p.climbs(s, c):
		p.look(s, c, slope)
		p.from, p.since = c, s.at
	}
	if p.air {
		return probe.FaultLifted
	}
	return probe.FaultNone
}

// look judges a fall by one stretch of it.
func (p *plunge) look(s *State, c, slope float64) {
	w, sd := s.water()
	w -= 2 * min(sd, 3) // a guess may be of a kitchen far higher up
	old, fell := s.at-p.at, (p.top-c)/(s.at-p.at).Seconds()
	halts := c > w+5 && slope > -0.1*fell && slope < creamSlope || // between two portions
		old > 2*airAfter && c > w+2 && slope > -0.05 && slope < creamSlope // or it boils
	if p.cream = p.cream || p.climbs(s, c) || halts && old > airAfter; p.cream {
		if p.air {
			p.air = false
			s.startCream(s.at)
			s.clean.reset()
			s.recent.clear()
		}
		return
	}
	if p.air {
		return
	}
	slope = max(slope, s.recent.line(s.at, 5).slope)
	stands := old > airStands+3*s.cfg.Lag && c < w+2 && slope > -0.5 && slope < creamSlope
	p.pauses = p.pauses || slope > -airShare*fell
	if c < coldestPour || old > airAfter && (stands || !p.pauses && c < p.top-airDeep) {
		p.air = true
		s.cook.phase = Melt
	}
}

// climbs reports whether the pot has climbed since its lowest as a hob makes
// it, which a tip in the air does not: surely, where it was taken for one.
func (p *plunge) climbs(s *State, c float64) bool {
	rise, dt := 0.5+3*min(s.clean.noise, 1.5), (s.at - p.lowAt).Seconds()
	if p.air {
		rise++
	}
	slope := (c - p.low) / max(dt, 1)
	return c-p.low > rise && dt >= 5 && slope > creamSlope && slope < max(1.5*p.rose, 0.8)
}

// end takes the readings for the pot's again.
func (p *plunge) end(s *State) {
	if p.air {
		s.clean.reset()
		s.recent.clear()
		s.est.gap(s.at)
	}
	*p = plunge{}
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

// guessed is what the melt may have reached while its readings fail, run on as
// fast as it climbed, °C.
func (s *State) guessed() float64 {
	c, since := s.melt.now, s.blind.since
	if s.plunge.air {
		c, since = s.plunge.top, s.plunge.at
	}
	if c < sampleFromC {
		return c // far from it, and the probe's own alarm stands
	}
	rise := guessRise
	if m := s.boiling.melted; m > 0 {
		rise = clamp(m, 0.3, 1)
	}
	return c + rise*(s.at-since).Seconds()
}

const guessRise = 0.5 // °C/s of a melt of which nothing else is known
