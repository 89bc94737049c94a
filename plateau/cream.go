package plateau

import (
	"math"
	"time"

	"boildown/syrup"
)

// creaming is the heat account of a creaming. How far the pot has cooled says
// how much cream must be in it; that much water says where the pot would boil;
// and the floor lies under that boiling point.
type creaming struct {
	at     time.Duration
	top    float64 // °C of the pot before the first cream
	hotJK  float64 // heat capacity of pot and melt, J/K
	moles  float64 // of solute in the melt
	watts  float64 // net power, from the melt's slope
	cp     float64 // of the cream, J/(g·K)
	wet    float64 // water's share of the cream
	most   float64 // g of cream planned; 0 when unknown
	cream  float64 // g in the pot by the account
	water  float64 // g of its water still in the pot
	solid  float64 // moles of milk solids in a gram of it
	last   float64 // °C, up to where the account is made
	lastAt time.Duration
	under  int     // used readings in a row under the floor
	boils  float64 // °C, boiling point of what is in the pot now
	margin float64 // K above the floor
	ahead  float64 // the same, where the pot is heading
	ok     bool

	flow    float64       // g/s, the quickest that cream has gone in
	goneAt  time.Duration // the hold last ended
	portion float64       // g that could go in then
}

// The floor lies this far under the boiling point and never above floorMostC:
// our own choice, no source.
const (
	floorUnder = 5.0
	floorMostC = 150.0
)

// What a small batch is like where no recipe says so.
const (
	guessMeltG   = 400.0
	guessPotJK   = 500.0 // 1 kg of steel
	guessMeltCp  = 2.3   // J/(g·K), molten sugar ±10 %
	guessCreamCp = 3.27
	guessCreamW  = 0.577  // heavy cream
	guessSolid   = 1.8e-4 // mol/g
	coldCreamC   = 20.0   // cream is taken to be cold, which errs on the safe side
	guessWatts   = 600.0
)

// begin opens the account as the first cream goes in.
func (k *creaming) begin(s *State, at time.Duration) {
	*k = creaming{at: at, cp: guessCreamCp, wet: guessCreamW, solid: guessSolid, boils: floorMostC + floorUnder}
	k.top = s.melt.now
	if c, ok := s.recent.highest(20, 0); ok {
		k.top = max(k.top, c)
	}
	melt, pot := guessMeltG*guessMeltCp, guessPotJK
	k.moles = guessMeltG / syrup.SucroseMolG
	if b := s.cfg.Batch; b.Melt.Mass() > 0 {
		melt, k.moles = b.Melt.Mass()*guessMeltCp, b.Melt.Moles()
		if b.PotJK > 0 {
			pot = b.PotJK
		}
		if m := b.Cream.Mass(); m > 0 {
			k.wet, k.most = max(b.Cream.Water/m, 0.05), m
			k.solid = b.Cream.Moles() / m
			k.cp = clamp(b.Cream.HeatCapacity(60)/m, 1, 4.3)
		}
	}
	k.hotJK = melt + pot
	k.last, k.lastAt = k.top, at
	k.watts = guessWatts
	if s.melt.slope > 0.02 {
		k.watts = clamp(k.hotJK*s.melt.slope, 100, 2500)
	}
}

// to carries the account on to a pot that reads c after dt seconds: the heat
// that the pot gave and the hob sent went into cream, and into steam where the
// pot boils. It returns the cream and the water that are then in the pot, g.
func (k *creaming) to(s *State, c, dt float64) (cream, water float64) {
	heat := (k.hotJK+k.cream*k.cp)*(k.last-c) + k.watts*dt
	warm := k.cp * max(c-coldCreamC, 5)
	cream = max(heat/warm, 0)
	full := s.waterAt(c, k.moles+k.cream*k.solid)
	if k.water+k.wet*cream < full {
		return k.cream + cream, k.water + k.wet*cream // too little water to boil so cool
	}
	latent := syrup.LatentHeat(min(c, 150))
	cream = max((heat+latent*(full-k.water))/(warm+k.wet*latent), 0)
	return k.cream + cream, full
}

// over returns how far c lies above the floor of a pot with so much cream and
// water in it, and where that pot boils.
func (k *creaming) over(s *State, c, cream, water float64) (margin, boils float64) {
	boils = floorMostC + floorUnder
	if z := water / syrup.WaterMolG / max(k.moles+cream*k.solid, 1e-3); z > 0.02 {
		boils = min(boils, s.boilsAt(z))
	}
	return c - min(boils-floorUnder, floorMostC), boils
}

// feel takes in the reading just used.
func (k *creaming) feel(s *State) {
	if s.cook.phase != Cream || k.hotJK == 0 { // an account that nothing opened says nothing
		return
	}
	now, slope := s.melt.now, s.melt.slope
	k.cream, k.water = k.to(s, now, (s.at - k.lastAt).Seconds())
	if k.most > 0 {
		k.cream = min(k.cream, k.most)
	}
	k.cream, k.water = min(k.cream, 1e6), min(k.water, 1e6)
	k.last, k.lastAt = now, s.at
	k.margin, k.boils = k.over(s, now, k.cream, k.water)
	k.ahead = k.margin
	if slope < 0 {
		next := now + slope*holdAhead
		cream, water := k.to(s, next, 0)
		k.ahead, _ = k.over(s, next, cream, water)
	}
	if k.under++; k.margin >= 0 {
		k.under = 0
	}
	if slope < 0 {
		k.flow = max(k.flow, ((k.hotJK+k.cream*k.cp)*-slope+k.watts)/k.jPerG(now))
	}
	k.ok = k.top > floorMostC-25 // else the creaming was not seen from its beginning
}

// jPerG is the heat that a gram of cream takes up in a pot at c °C, its water
// going off as steam where the pot is far hotter than a syrup boils.
func (k *creaming) jPerG(c float64) float64 {
	j := k.cp * max(c-coldCreamC, 5)
	if c > 115 {
		j += k.wet * syrup.LatentHeat(110)
	}
	return j
}

// Cream pacing.
const (
	holdAhead  = 6.0 // s: from the prompt to the jug held still, and the probe's blur
	holdMargin = 1.0 // K above the floor
	goOnMargin = 4.0
	jugS       = 1.0 // s from the prompt to the jug held still
)

// spent reports whether by now all that could go in since the hold ended has
// gone in, if it goes in as quickly as it did. A quick jug is half empty before
// a probe shows anything of it.
func (k *creaming) spent(at time.Duration) bool {
	if k.goneAt == 0 || k.flow <= 0 || k.boils > 115 {
		return false
	}
	pours := k.portion/k.flow - jugS
	return pours < holdAhead && (at-k.goneAt).Seconds() >= pours
}

// watchCream raises what belongs to the creaming.
func (s *State) watchCream(a *Advice) {
	k := &s.cream
	in := s.cook.phase == Cream && k.ok
	held := s.alerts.standing.Has(HoldCream)
	since := s.at - s.alerts.since[HoldCream]
	settled := since > span(s.cfg.Lag.Seconds()+2)
	s.hold(a, HoldCream, in && !s.cook.ended && (k.ahead < holdMargin || k.spent(s.at)),
		!in || s.cook.ended || settled && k.margin > goOnMargin && s.melt.slope >= 0)
	if held && !s.alerts.standing.Has(HoldCream) {
		k.goneAt = s.at
		k.portion, _ = s.creamNow()
	}
	s.hold(a, Seize, in && k.under >= 2, s.cook.phase != Cream || in && k.margin > goOnMargin)
	s.foam(a)
}

// foam raises the caution against steam and foam as the first cream goes in
// and again as the whole pot comes to the boil.
func (s *State) foam(a *Advice) {
	if s.alerts.standing.Has(BoilOver) && s.at-s.alerts.since[BoilOver] > 20*time.Second {
		s.alerts.clear(BoilOver)
	}
	if s.alerts.foam {
		s.alerts.foam = false
		s.raise(a, BoilOver)
	}
}

// waterAt returns the grams of water with which so many moles boil at c °C; so
// much that nothing boils there, at or below water's own boiling point.
func (s *State) waterAt(c, moles float64) float64 {
	w, _ := s.water()
	if c-w < 0.1 {
		return 1e9
	}
	z, _ := s.curve.Ratio(s.curve.WaterBoils() + c - w)
	return z * syrup.WaterMolG * moles
}

// boilsAt returns the boiling point in °C of a syrup of water ratio z.
func (s *State) boilsAt(z float64) float64 {
	w, _ := s.water()
	return s.curve.Boils(z) - s.curve.WaterBoils() + w
}

// creamNow returns how much cream can go in at once without the pot dropping
// below the floor.
func (s *State) creamNow() (g float64, ok bool) {
	k := &s.cream
	if s.cook.phase != Cream || !k.ok || s.cook.ended {
		return 0, false
	}
	p := syrup.Portion{CpJGK: k.cp, Water: k.wet, CreamC: coldCreamC,
		FloorC: min(k.boils-floorUnder, floorMostC), BoilsC: min(k.boils, s.melt.now)}
	g = p.Largest(k.hotJK+k.cream*k.cp, s.melt.now, 0)
	if k.most > 0 {
		g = min(g, k.most)
	}
	return within(g, 0, 5000, 0), !math.IsInf(g, 0)
}
