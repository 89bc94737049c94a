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
	under  int     // used readings in a row under the floor
	boils  float64 // °C, boiling point of what is in the pot now
	margin float64 // K above the floor
	ahead  float64 // the same, where the pot is heading
	ok     bool
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
	guessCreamW  = 0.577 // heavy cream
	coldCreamC   = 20.0  // cream is taken to be cold, which errs on the safe side
	guessWatts   = 600.0
)

// begin opens the account as the first cream goes in.
func (k *creaming) begin(s *State, at time.Duration) {
	*k = creaming{at: at, cp: guessCreamCp, wet: guessCreamW, boils: floorMostC + floorUnder}
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
			k.cp = clamp(b.Cream.HeatCapacity(60)/m, 1, 4.3)
		}
	}
	k.hotJK = melt + pot
	k.watts = guessWatts
	if s.melt.slope > 0.02 {
		k.watts = clamp(k.hotJK*s.melt.slope, 100, 2500)
	}
}

// creamFor returns the cream in g that brought the pot down to c without any
// of its water going off as steam, at the given time.
func (k *creaming) creamFor(c float64, at time.Duration) float64 {
	heat := k.hotJK*(k.top-c) + k.watts*(at-k.at).Seconds()
	return max(heat, 0) / (k.cp * max(c-coldCreamC, 5))
}

// over returns how far c lies above the floor of a pot that the account says
// is there when it reads c, and that pot's boiling point.
func (k *creaming) over(s *State, c float64, at time.Duration) (margin, boils float64) {
	g := k.creamFor(c, at)
	if k.most > 0 {
		g = min(g, k.most)
	}
	boils = floorMostC + floorUnder
	if z := g * k.wet / syrup.WaterMolG / max(k.moles, 1e-3); z > 0.02 {
		boils = min(boils, s.boilsAt(z))
	}
	boils = min(max(boils, c), floorMostC+floorUnder)
	if c >= boils {
		boils = c // it boils: steam holds it there
	}
	return c - min(boils-floorUnder, floorMostC), boils
}

// feel takes in the reading just used.
func (k *creaming) feel(s *State) {
	if s.cook.phase != Cream {
		return
	}
	now, slope := s.melt.now, s.melt.slope
	k.margin, k.boils = k.over(s, now, s.at)
	k.ahead = k.margin
	if slope < 0 {
		k.ahead, _ = k.over(s, now+slope*holdAhead, s.at)
	}
	if k.under++; k.margin >= 0 {
		k.under = 0
	}
	k.ok = k.top > floorMostC-25 // else the creaming was not seen from its beginning
}

// Cream pacing.
const (
	holdAhead  = 6.0 // s: from the prompt to the jug held still, and the probe's blur
	holdMargin = 1.0 // K above the floor
	goOnMargin = 3.5
)

// watchCream raises what belongs to the creaming.
func (s *State) watchCream(a *Advice) {
	k := &s.cream
	in := s.cook.phase == Cream && k.ok
	s.hold(a, HoldCream, in && !s.cook.ended && k.ahead < holdMargin,
		!in || k.margin > goOnMargin && s.melt.slope > 0)
	s.hold(a, Seize, in && k.under >= 2, !in && s.cook.phase != Cream || in && k.margin > goOnMargin)
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
	g = p.Largest(k.hotJK, s.melt.now, 0)
	if k.most > 0 {
		g = min(g, k.most)
	}
	return within(g, 0, 5000, 0), !math.IsInf(g, 0)
}
