package plateau

import (
	"math"
	"time"

	"boildown/probe"
)

// cook is how far the batch has come and what was told about it: all that a
// mark can change, and so all that an undo restores.
type cook struct {
	looked  time.Duration // the melt was last looked at
	addedAt time.Duration // something else than cream last went in
	creamAt time.Duration // the first cream of this creaming
	endAt   time.Duration // its last cream
	heatAt  time.Duration // the heat was last turned by the cook
	onAt    time.Duration // the pot last went on the heat
	pullAt  time.Duration // the pot left the heat
	boilAt  time.Duration // the whole pot came to the boil

	marks    marks // told since the batch began
	phase    Phase
	look     Mark // the melt as last looked at, NoMark before the first look
	heatDir  int8 // how the heat was last turned: −1 down, +1 up
	sugar    bool // it is known that sugar is dissolved in the pot
	ended    bool // the last cream was told to be in
	boils    bool // the whole pot boils after the last cream
	rewarmed bool // back on the heat and not yet boiling again
}

// marks is the set of marks told.
type marks uint32

func (m marks) has(k Mark) bool { return m&(1<<k) != 0 }

// undoDepth is how many marks can be taken back.
const undoDepth = 6

// undo keeps the cook as it was before each of the last marks.
type undo struct {
	was  [undoDepth]cook
	next int8 // where the next one goes
	n    int8 // how many there are
}

func (u *undo) push(c cook) {
	u.was[u.next] = c
	u.next = (u.next + 1) % undoDepth
	u.n = min(u.n+1, undoDepth)
}

func (u *undo) pop() (c cook, ok bool) {
	if u.n == 0 {
		return cook{}, false
	}
	u.n--
	u.next = (u.next + undoDepth - 1) % undoDepth
	c = u.was[u.next]
	u.was[u.next] = cook{}
	return c, true
}

// mark takes what the cook told. A mark given late counts from when it
// happened.
func (s *State) mark(in *Input) {
	if in.Mark == NoMark || in.Mark >= markCount || in.Mark == MarkNote {
		return
	}
	at := s.at - min(max(in.Ago, 0), s.at)
	s.told.push(s.cook)
	c := &s.cook
	c.marks |= 1 << in.Mark
	switch in.Mark {
	case MarkMeltStart:
		if c.phase >= Pulled {
			s.anew()
		}
		if c.phase == Wait {
			s.cook.phase = Melt
		}
		c.onAt = at
	case MarkLookDry, MarkLookClumps, MarkLookColouring, MarkLookClear:
		c.look, c.looked = in.Mark, at
		s.startMelt(at)
	case MarkCrystalsGone:
		c.look, c.looked = MarkLookClear, at
		s.startMelt(at)
	case MarkCreamStart:
		s.startCream(at)
	case MarkCreamEnd:
		s.endCream(at)
	case MarkHeatDown:
		s.turnHeat(at, -1)
	case MarkHeatUp:
		s.turnHeat(at, +1)
	case MarkBackOn:
		s.backOn(at)
	case MarkPull:
		s.pulled(at)
	case MarkDip:
		s.dipped(at)
	case MarkAdded:
		s.added(at)
	}
}

// anew begins another batch in the same session. Nothing of the last one holds
// for it but what was learned of the probe and of the day's pressure.
func (s *State) anew() {
	s.est.restart(s.at)
	s.clean.reset()
	s.cook = cook{marks: 1 << MarkMeltStart}
	s.recent, s.melt, s.plunge, s.cream = recent{}, melting{}, plunge{}, creaming{}
	s.boiling, s.bend, s.lift = boiling{lookedAt: s.boiling.lookedAt}, bend{}, lifted{}
}

// undo takes the last mark back. What the readings have taught stays.
func (s *State) undo() {
	was, ok := s.told.pop()
	if !ok {
		return
	}
	now := s.cook
	s.cook = was
	if now.heatAt != was.heatAt && now.heatDir != 0 {
		s.est.heatChanged(s.at, -int(now.heatDir))
	}
	if now.boils != was.boils || now.phase != was.phase {
		s.est.restart(s.at)
		if was.boils {
			s.est.boilBegan(max(was.boilAt, s.at-2*time.Minute))
		}
	}
}

func (s *State) startMelt(at time.Duration) {
	if s.cook.phase == Wait {
		s.cook.onAt = at
		s.cook.phase = Melt
	}
}

// startCream begins a creaming, or counts more cream to the one under way.
func (s *State) startCream(at time.Duration) {
	c := &s.cook
	if c.phase != Cream {
		s.cream.begin(s, at)
		s.cook.phase = Cream
		c.creamAt = at
		s.alerts.foam = true
	}
	c.sugar, c.ended = true, false
	s.unboil(at)
}

// endCream says that the last cream is in, whether or not the first was told.
func (s *State) endCream(at time.Duration) {
	c := &s.cook
	if c.phase <= Melt {
		s.cream.begin(s, at)
		c.creamAt = at
	}
	if c.phase != Stall && c.phase != Climb || at > c.boilAt {
		s.cook.phase = Cream
		s.unboil(at)
	}
	c.sugar, c.ended, c.endAt = true, true, at
	if at > s.at-5*time.Second {
		s.boiling.rise, s.boiling.flat, s.bend.p = 0, false, 0
	}
}

// backToCream follows a drop that only more cream, or the like, can make.
func (s *State) backToCream() {
	s.cream.begin(s, s.at)
	s.cook.phase = Cream
	s.cook.creamAt = s.at
	s.cook.ended = false
	s.unboil(s.at)
}

// awaitsCream reports whether a cook who told when the cream began has not told
// yet that the last is in.
func (c *cook) awaitsCream() bool { return c.marks.has(MarkCreamStart) && !c.ended }

func (s *State) unboil(at time.Duration) {
	if s.cook.boils {
		s.cook.boils = false
		s.est.restart(at)
	}
}

func (s *State) turnHeat(at time.Duration, dir int) {
	s.cook.heatAt, s.cook.heatDir = at, int8(dir)
	s.heldSlope = 0
	s.est.heatChanged(at, dir)
}

// backOn puts the pot back on the heat, for more boiling or only to be warmed.
func (s *State) backOn(at time.Duration) {
	c := &s.cook
	c.onAt = at
	if c.phase < Pulled {
		return
	}
	s.lift.again()
	c.rewarmed, c.boils = true, false
	s.est.restart(at)
	s.cook.phase = Stall
	if s.overStall(0) {
		s.cook.phase = Climb
	}
}

// pulled takes the pot off the heat.
func (s *State) pulled(at time.Duration) {
	if s.cook.phase >= Pulled {
		return
	}
	s.cook.pullAt = at
	s.cook.boils, s.cook.rewarmed = false, false
	s.est.gap(at)
	s.off.begin(at, &s.recent)
	s.cook.phase = Pulled
}

// dipped says that the first piece is dipped, so the pot is off the heat.
func (s *State) dipped(at time.Duration) {
	s.pulled(at)
	if s.cook.phase == Pulled {
		s.cook.phase = Dip
	}
}

// added says that something else went in. It cools the pot, and a boil under
// way starts over.
func (s *State) added(at time.Duration) {
	s.cook.addedAt = at
	if s.cook.phase == Melt {
		s.endPlunge() // it was that
	}
	if s.cook.phase == Stall || s.cook.phase == Climb {
		s.backToCream()
		s.cook.ended, s.cook.endAt = true, at
	}
}

// water returns water's boiling point on the corrected scale and how far it
// may be off, °C.
func (s *State) water() (c, sd float64) {
	if s.cfg.Pressure > 0 {
		return s.curve.WaterBoils(), 0.2
	}
	w, d := s.est.waterBoils()
	return float64(w), float64(d)
}

// overStall reports whether the boiling point stands far enough above water's
// for the climb, by more K than that. Where water's own is a guess, the pot is
// left in the stall for longer: to turn the heat down too late costs a few
// seconds, too early many minutes.
func (s *State) overStall(more float64) bool {
	w, sd := s.water()
	return float64(s.pot()) >= w+stallHeight+sd/2+more
}

// pot returns the pot's temperature as of the last used reading: the filtered
// one once there is a boil to filter, else the reading with its lag made good.
func (s *State) pot() probe.Celsius { return s.potC }

// locate works pot out once for all who ask. The readings decide: the filtered
// temperature may stray from those of the last seconds by what noise, rounding
// and lag can explain, and no further.
func (s *State) locate() {
	if s.at/time.Second != s.lineAt/time.Second || s.lineAt == 0 {
		s.line20, s.lineAt = s.recent.line(s.at, 20), s.at
	}
	t := s.line20
	t.c += t.slope * secs(s.at-s.lineAt)
	s.hope(t)
	s.potC, s.potAt = probe.Celsius(s.melt.now), s.at
	if !s.cook.boils {
		return
	}
	c, ok := s.est.now()
	if !ok {
		return
	}
	lag := s.est.lag
	shown := t.c + clamp(t.slope, -0.2, 0.3)*lag
	room := strayK + s.clean.step/2 + 3*min(s.clean.noise, 1)/math.Sqrt(float64(max(t.n, 1))) + 2*t.err*(lag+5)
	s.potC = probe.Celsius(clamp(float64(c), shown-room, shown+room))
}

const (
	heldFor = 30.0     // s that a boiling pot is taken to climb on as fast as it did
	strayK  = 0.2      // K of honest difference between two ways of smoothing
	strayUp = 0.5 / 60 // °C/s of the same between two slopes
)

// hope keeps the slope to expect of a boiling pot. Without a hand on the knob
// a boil only grows steeper, so that a slope that falls is first taken for a
// cooler tip; and a slope that the readings do not show is not believed.
func (s *State) hope(t trend) {
	m, ok := s.est.slope()
	if !ok || !s.cook.boils {
		s.heldSlope = 0
		return
	}
	most := 0.5
	if t.ok {
		most = max(1.5*max(t.slope, s.boiling.slope, 0)+strayUp+2*t.err, 0)
	}
	held := s.heldSlope * exp(-secs(s.at-s.potAt)/heldFor)
	s.slopeC = clamp(m/60, -0.2, min(most, 0.5))
	s.heldSlope = max(s.slopeC, min(held, most))
}

// runOn returns the pot's temperature now, run on from its last used reading
// while a stirred tip or a fault hides it: as fast as it climbed, but not much
// faster than over the last minute, since a hob that switches on and off makes
// steep slopes that do not last.
func (s *State) runOn() float64 {
	gone := min(secs(s.at-s.potAt), 20)
	if gone <= 0 {
		return float64(s.potC)
	}
	way := s.heldSlope * gone
	if way < strayK/4 {
		return float64(s.potC) + way // too little to look into
	}
	if minute, ok := s.recent.slope(); ok {
		way = min(way, (max(1.5*minute, 0)+strayUp)*gone)
	}
	return float64(s.potC) + way
}
