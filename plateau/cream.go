package plateau

import (
	"time"

	"boildown/syrup"
)

// creaming is the heat account of a creaming. How far the pot has cooled says
// how much cream must be in it; that much water says where the pot would boil;
// and the floor lies under that boiling point.
type creaming struct {
	at     time.Duration
	top    float64 // °C of the pot before the first cream
	sugar  float64 // g of the melt
	potJK  float64 // heat capacity of the empty pot, J/K
	moles  float64 // of solute in the melt
	watts  float64 // net power, from the melt's slope
	cp     float64 // of the cream, J/(g·K)
	wet    float64 // water's share of the cream
	warm   float64 // °C of the cream
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
	atBoil bool // it stands still between two portions
	offer  portion
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
	guessCreamCp = 3.27
	guessCreamW  = 0.577  // heavy cream
	guessSolid   = 1.8e-4 // mol/g
	coldCreamC   = 10.0   // cream is taken to be cold, which errs on the safe side
	guessWatts   = 600.0
	leastWatts   = 350.0 // the last crystals keep a melt from warming on any hob
	guessLossWK  = 1.5   // of a pot without a lid, W/K
	waterCp      = 4.2   // J/(g·K)
)

// begin opens the account as the first cream goes in.
func (k *creaming) begin(s *State, at time.Duration) {
	*k = creaming{at: at, cp: guessCreamCp, wet: guessCreamW, solid: guessSolid, warm: coldCreamC,
		sugar: guessMeltG, potJK: guessPotJK, boils: floorMostC + floorUnder}
	k.top = s.melt.now
	if c, ok := s.recent.highest(20, 0); ok {
		k.top = max(k.top, c)
	}
	k.moles = guessMeltG / syrup.SucroseMolG
	if b := s.cfg.Batch; b.Melt.Mass() > 0 {
		k.sugar, k.moles = b.Melt.Mass()-b.Melt.Water, b.Melt.Moles()
		if b.PotJK > 0 {
			k.potJK = b.PotJK
		}
		if b.CreamC > 0 {
			k.warm = b.CreamC
		}
		if m := b.Cream.Mass(); m > 0 {
			k.wet, k.most = max(b.Cream.Water/m, 0.05), m
			k.solid = b.Cream.Moles() / m
			k.cp = clamp(b.Cream.HeatCapacity(60)/m, 1, 4.3)
		}
	}
	k.last, k.lastAt = k.top, at
	k.watts = guessWatts
	if s.melt.slope > 0.02 {
		k.watts = clamp(k.jk(k.top)*s.melt.slope, leastWatts, 2500)
	}
	k.margin = k.top - floorMostC
	k.ahead, k.ok = k.margin, k.seen()
}

// seen reports whether the creaming was watched from its beginning.
func (k *creaming) seen() bool { return k.top > floorMostC-25 }

// jk is the heat capacity of the pot and what is in it at c °C, J/K. Sugar
// takes up as much as [syrup.MoltenSugarCp] where it is hot and dry, and less
// where it is dissolved; the same with its steam gone.
func (k *creaming) jk(c float64) float64 {
	const wet, dry = 118.0, 150.0
	choiOkos := syrup.Mix{Solutes: 1}.HeatCapacity(min(c, dry))
	sugar := choiOkos + (syrup.MoltenSugarCp-choiOkos)*clamp((c-wet)/(dry-wet), 0, 1)
	gone := max(k.wet*k.cream-k.water, 0)
	return k.potJK + k.sugar*sugar + max(k.cream*k.cp-gone*waterCp, 0)
}

// power is what the hob sends into a pot at c °C, W: a cooler pot loses less
// to the room than the melt did.
func (k *creaming) power(c float64) float64 { return k.watts + guessLossWK*max(k.top-c, 0) }

// to carries the account on to a pot that reads c after dt seconds: the heat
// that the pot gave and the hob sent went into cream, and into steam where the
// pot boils. It returns the cream and the water that are then in the pot, g.
func (k *creaming) to(s *State, c, dt float64) (cream, water float64) {
	heat := k.jk((k.last+c)/2)*(k.last-c) + k.power(c)*dt
	warm := k.cp * max(c-k.warm, 5)
	cream = max(heat/warm, -k.cream) // less, where the pot was thought to cool and did not
	full := s.waterAt(c, k.moles+k.cream*k.solid)
	if k.water+k.wet*cream < full {
		return k.cream + cream, max(k.water+k.wet*cream, 0) // too little water to boil so cool
	}
	latent := syrup.LatentHeat(min(c, 150))
	cream = max((heat+latent*(full-k.water))/(warm+k.wet*latent), -k.cream)
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
	if s.cook.phase != Cream || k.sugar == 0 { // an account that nothing opened says nothing
		return
	}
	now := s.melt.now
	k.cream, k.water = k.to(s, now, (s.at - k.lastAt).Seconds())
	if k.most > 0 {
		k.cream = min(k.cream, k.most)
	}
	k.cream, k.water = min(k.cream, 1e6), min(k.water, 1e6, k.wet*k.cream)
	k.last, k.lastAt = now, s.at
	k.margin, k.boils = k.over(s, now, k.cream, k.water)
	k.ahead = min(s.after(k.flow(s)*holdAhead), k.margin)
	if k.under++; k.margin >= 0 {
		k.under = 0
	}
	k.ok = k.seen()
}

// Cream pacing.
const (
	holdAhead  = 2.0 // s: from the prompt to the jug held still, and the probe's blur
	holdMargin = 1.0 // K above the floor
	goOnMargin = 4.0
)

// watchCream raises what belongs to the creaming.
func (s *State) watchCream(a *Advice) {
	k := &s.cream
	in := s.cook.phase == Cream && k.ok
	s.pace(a, in && !s.cook.ended)
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
