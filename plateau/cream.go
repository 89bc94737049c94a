package plateau

import (
	"math"
	"time"

	"boildown/syrup"
)

// creaming is the heat account of a creaming: what is in the pot, how hot it
// is and what the hob sends. The amount of water says where the pot would
// boil, and the floor lies under that boiling point.
type creaming struct {
	top   float64 // °C of the pot before the first cream
	sugar float64 // g of the melt
	potJK float64 // heat capacity of the empty pot, J/K
	moles float64 // of solute in the melt
	cp    float64 // of the cream, J/(g·K)
	wet   float64 // water's share of the cream
	solid float64 // moles of milk solids in a gram of it
	most  float64 // g of cream planned; 0 when unknown

	c      float64 // °C of the pot now
	cream  float64 // g in the pot
	water  float64 // g of its water still in the pot
	base   float64 // J that the pot's base holds beyond what it does beside a pot at c for long
	flow   float64 // g/s of cream going in
	watts  float64 // net power into a pot at top
	warm   float64 // °C of the cream
	tip    float64 // °C that the probe should show
	jug    float64 // g/s that this cook pours
	spread spread  // how far all of these may be off

	lastAt time.Duration // up to when the account is made
	under  int           // looks in a row under the floor
	boils  float64       // °C, boiling point of what is in the pot now
	margin float64       // K above the floor
	ahead  float64       // the same, where the pot is heading
	room   float64       // g that can go in now, as far as it is worth asking
	ok     bool
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
	guessCreamC  = 25.0   // where nobody said; see unsureWarm
	guessWatts   = 600.0
	likelyWatts  = 550.0 // the last crystals keep a melt from warming on any hob
	guessLossWK  = 1.5   // of a pot without a lid, W/K
	waterCp      = 4.2   // J/(g·K)
	baseShare    = 0.4   // of the pot's metal is its base, which hangs on the hob and follows the rest
	baseS        = 8.0   // in so many seconds
)

// begin opens the account as the first cream goes in.
func (k *creaming) begin(s *State, at time.Duration) {
	*k = creaming{cp: guessCreamCp, wet: guessCreamW, solid: guessSolid, warm: guessCreamC,
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
		if m := b.Cream.Mass(); m > 0 {
			k.wet, k.most = max(b.Cream.Water/m, 0.05), m
			k.solid = b.Cream.Moles() / m
			k.cp = clamp(b.Cream.HeatCapacity(60)/m, 1, 4.3)
		}
	}
	if c := s.cfg.Batch.CreamC; c > 0 {
		k.warm = c
	}
	if s.plunge.on {
		k.top, at = max(k.top, s.plunge.top), min(at, s.plunge.at)
	}
	k.c, k.lastAt, k.jug = k.top, at, likelyJug
	k.watts = guessWatts
	if s.melt.slope > 0.02 {
		k.watts = clamp((k.jk(k.top)+k.baseJK())*s.melt.slope, likelyWatts, 2500)
	}
	k.unsure(s)
	k.margin = k.top - floorMostC
	k.ahead, k.ok = k.margin, k.seen()
	k.catchUp(s)
}

// catchUp makes up the account of a creaming that was told late, or not at all:
// what has gone in is what takes the pot to where it is.
func (k *creaming) catchUp(s *State) {
	now := s.melt.now
	if s.clean.has && s.plunge.on {
		now = s.clean.last
	}
	dt := max(min((s.at-k.lastAt).Seconds(), longestGap), 2)
	if !k.ok || k.top-now < creamDropC/2 || now < coldestMix {
		return
	}
	const steps, cuts = 8, 10
	lo, hi := 0.0, k.planned()
	found := *k
	for range cuts {
		g := (lo + hi) / 2
		found = *k
		for range steps {
			found.run(s, g/steps, dt/steps)
		}
		if found.c > now {
			lo = g
		} else {
			hi = g
		}
	}
	*k = found
	k.lastAt = s.at
	k.stray(ofCream, unsureLate*k.cream, 1)
	k.stray(ofPot, unsureLatePot, 1)
	k.judge(s)
}

// How far an account that was made up late may be off.
const (
	unsureLate    = 0.3 // share of the cream
	unsureLatePot = 3.0 // K
)

// seen reports whether the creaming was watched from its beginning.
func (k *creaming) seen() bool { return k.top > floorMostC-25 }

func (k *creaming) baseJK() float64 { return baseShare * k.potJK }

// jk is the heat capacity at c °C of the pot, without its base, and of what is
// in it, J/K. Sugar takes up as much as [syrup.MoltenSugarCp] where it is hot
// and dry, and less where it is dissolved; the same with its steam gone.
func (k *creaming) jk(c float64) float64 {
	const wet, dry = 118.0, 150.0
	choiOkos := syrup.Mix{Solutes: 1}.HeatCapacity(min(c, dry))
	sugar := choiOkos + (syrup.MoltenSugarCp-choiOkos)*clamp((c-wet)/(dry-wet), 0, 1)
	gone := max(k.wet*k.cream-k.water, 0)
	return k.potJK - k.baseJK() + k.sugar*sugar + max(k.cream*k.cp-gone*waterCp, 0)
}

// power is what the hob sends into a pot at c °C, W: a cooler pot loses less
// to the room than the melt did.
func (k *creaming) power(c float64) float64 { return k.watts + guessLossWK*max(k.top-c, 0) }

// run lets dt seconds pass while g grams of cream go in.
func (k *creaming) run(s *State, g, dt float64) {
	jk, before := k.jk(k.c), k.c
	given := k.base * (1 - exp(-dt/baseS))
	k.base -= given
	k.c = (jk*k.c + g*k.cp*k.warm + k.power(k.c)*dt + given) / (jk + g*k.cp)
	k.cream += g
	k.water += k.wet * g
	k.steamOff(s)
	k.base += k.baseJK() * (before - k.c)
}

// steamOff lets a pot that stands over its boiling point boil down to it.
func (k *creaming) steamOff(s *State) {
	moles := k.dissolved()
	if k.water < s.waterAt(k.c, moles) {
		return
	}
	// Between the boiling point and here: the heat given up on the way down is
	// what the steam takes along. The balance is convex, so that Newton's steps
	// come down on it from one side after the first.
	jk, latent := k.jk(k.c), syrup.LatentHeat(min(k.c, 150))
	w, _ := s.water()
	lo, at := w+0.2, k.c
	var full float64
	for range 12 {
		var perK float64
		full, perK = s.fullAt(at, moles)
		step := (jk*(k.c-at) - latent*(k.water-full)) / (jk - latent*perK)
		at = min(max(at+step, (at+lo)/2), k.c)
		if math.Abs(step) < 1e-3 {
			break
		}
	}
	k.c, k.water = at, min(k.water, full)
}

// dissolved is the moles of solute in the pot.
func (k *creaming) dissolved() float64 { return max(k.moles+k.cream*k.solid, 1e-3) }

// weigh works out where the pot would boil and how far above the floor it is.
func (k *creaming) weigh(s *State) {
	k.boils = floorMostC + floorUnder
	if z := k.water / syrup.WaterMolG / k.dissolved(); z > 0.02 {
		k.boils = min(k.boils, s.boilsAt(z))
	}
	k.margin = k.c - min(k.boils-floorUnder, floorMostC)
}

// clears reports whether the pot stands more than margin above the floor. It is
// weigh's answer without its root: a pot of more water boils cooler.
func (k *creaming) clears(s *State, margin float64) bool {
	c := k.c - margin
	return c > floorMostC || k.water > s.waterAt(c+floorUnder, k.dissolved())
}

// planned is all of the cream, g, a guess where no recipe says.
func (k *creaming) planned() float64 {
	if k.most > 0 {
		return k.most
	}
	return 1.2 * k.sugar
}

// waterAt returns the grams of water with which so many moles boil at c °C; so
// much that nothing boils there, at or below water's own boiling point.
func (s *State) waterAt(c, moles float64) float64 {
	g, _ := s.fullAt(c, moles)
	return g
}

// fullAt is waterAt, with how much that grows with c, g/K.
func (s *State) fullAt(c, moles float64) (g, perK float64) {
	w, _ := s.water()
	if c-w < 0.1 {
		return 1e9, 0
	}
	z, slope := s.curve.Ratio(s.curve.WaterBoils() + c - w)
	return z * syrup.WaterMolG * moles, slope * syrup.WaterMolG * moles
}

// boilsAt returns the boiling point in °C of a syrup of water ratio z.
func (s *State) boilsAt(z float64) float64 {
	w, _ := s.water()
	return s.curve.Boils(z) - s.curve.WaterBoils() + w
}
