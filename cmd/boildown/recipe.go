package main

import (
	"fmt"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// recipe is what a recipe file says, checked and converted: grams, °C, litres
// as mL. [loadRecipe] makes one.
type recipe struct {
	Name       string // printable
	Text       string // the file as it stands
	From       string // where it was found: a path, or "built in"
	About      string // printable
	Notes      string // printable, may hold line breaks
	Batch      plateau.Batch
	Target     probe.Celsius // as written; see AtSeaLevel and TargetAt
	AtSeaLevel bool          // Target is for sea level and shifts with the air pressure
	Sweet      syrup.Sweet   // what the target was named by; zero when it is a temperature
	Texture    int           // wanted, 1 runny to 7 shatters; 0 when the recipe does not say
	Dips       bool          // something is dipped: the file has a dip table
	DipOpen    probe.Celsius // the dip window is a matter of thickness: never shifted
	DipClose   probe.Celsius
	DipDepthCM float64 // depth of caramel that a dip needs
	Yield      int     // pieces; 0 when the recipe does not say
	YieldOf    string  // what the pieces are
	Parts      []part
	Pot        pan
}

// part is one ingredient.
type part struct {
	Stage  partStage
	Food   syrup.Ingredient
	Grams  float64
	WarmC  float64 // °C as it goes in; 0 when the file is silent
	AsIn   string  // as the file wrote it
	How    string  // how a volume was turned into grams, "" for a weight
	Source string  // where the composition comes from
}

// partStage says when an ingredient goes in.
type partStage uint8

const (
	inMelt  partStage = iota // melted before the cream
	inCream                  // the cream, and what goes in with it
	inAfter                  // stirred in off the heat
)

var partWords = [...]string{inMelt: "melt", inCream: "cream", inAfter: "after"}

func (s partStage) String() string { return partWords[s] }

// pan is the pot.
type pan struct {
	HoldsML  float64 // 0 when unknown
	Material string  // "" when unknown
	Grams    float64 // its mass
	Guessed  bool    // the mass is a guess by size
	AcrossCM float64 // inner diameter; a guess by size where the file is silent
	NonStick bool
}

// apply puts into cfg what the recipe knows of the batch. The target needs
// the air pressure: see TargetAt.
func (r *recipe) apply(cfg *plateau.Config) {
	cfg.Batch = r.Batch
	cfg.DipOpen, cfg.DipClose = r.DipOpen, r.DipClose
}

// TargetAt returns the endpoint at the air pressure pPa, 0 when that is
// unknown, and how it came about.
func (r *recipe) TargetAt(pPa float64) (probe.Celsius, string) {
	from := "the recipe's figure"
	if r.Sweet.Name != "" {
		from = "the figure for " + r.Sweet.Name
	}
	switch {
	case !r.AtSeaLevel:
		return r.Target, from + ", as this probe reads it here"
	case pPa == 0:
		return r.Target, from + " for sea level, not shifted: the air pressure is unknown"
	}
	here := probe.Celsius(syrup.ShiftTarget(float64(r.Target), pPa)).Rounded()
	return here, fmt.Sprintf("%s for sea level, %.4g °F (%.4g °C), shifted by %+.1f °F (%+.1f °C) for %.1f kPa",
		from, r.Target.F(), float64(r.Target), probe.Delta(here-r.Target).F(), float64(here-r.Target), pPa/1e3)
}

// Mass returns the grams of all that goes into the pot on the heat, and of
// what is stirred in after.
func (r *recipe) Mass() (onHeat, after float64) {
	for _, p := range r.Parts {
		if p.Stage == inAfter {
			after += p.Grams
		} else {
			onHeat += p.Grams
		}
	}
	return onHeat, after
}

// batch sums the parts that are on the heat.
func (r *recipe) batch() plateau.Batch {
	b := plateau.Batch{PotJK: r.Pot.heatCapacity()}
	warm, silent := 0.0, false
	for _, p := range r.Parts {
		switch p.Stage {
		case inMelt:
			b.Melt = b.Melt.Add(p.Food.Mix(p.Grams))
		case inCream:
			b.Cream = b.Cream.Add(p.Food.Mix(p.Grams))
			warm += p.Grams * p.WarmC
			if p.WarmC == 0 {
				silent = true
			}
		}
	}
	if m := b.Cream.Mass(); m > 0 && !silent {
		b.CreamC = warm / m
	}
	return b
}

// scaled returns the recipe for factor times as much, in the same pot.
func (r *recipe) scaled(factor float64) *recipe {
	s := *r
	s.Parts = append([]part(nil), r.Parts...)
	for i := range s.Parts {
		s.Parts[i].Grams *= factor
		s.Parts[i].How = ""
	}
	s.Batch = s.batch()
	return &s
}
