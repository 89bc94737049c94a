package main

import (
	"fmt"
	"math"

	"boildown/probe"
	"boildown/sessions"
	"boildown/syrup"
)

// planAsk is what a plan is asked for beside its recipe.
type planAsk struct {
	Yield        int     // pieces; 0 for the recipe's own
	PotML        float64 // the pot at hand; 0 for the recipe's own
	PressurePa   float64 // 0 when unknown
	PressureFrom string
	Hob          string    // its name; "" where nobody named one
	HobW         float64   // net power into the pot, as told; 0 when nobody said
	Past         []pastRun // batches of this recipe, the newest first
	Habits       sessions.Habits
}

// plan is a batch before it is cooked. Masses are g, temperatures °C.
type plan struct {
	Recipe   string       `json:"recipe"`
	From     string       `json:"from"`
	Scale    float64      `json:"scale"`
	ScaledBy string       `json:"scaled_by"` // "", "yield" or "pot"
	Yield    float64      `json:"yield"`     // pieces, 0 when the recipe does not say
	YieldOf  string       `json:"yield_of"`
	Weigh    []planPart   `json:"weigh"`
	Water    planWater    `json:"water"`
	Endpoint planEndpoint `json:"endpoint"`
	Minutes  planMinutes  `json:"minutes"`
	Pot      planPot      `json:"pot"`
	Cream    planCream    `json:"cream"`
	Hand     planHand     `json:"hand"`
	Ready    []string     `json:"ready"`
	Cautions []string     `json:"cautions"`
	recipe   *recipe
	pPa      float64
}

type planPart struct {
	Food  string  `json:"food"`
	Grams float64 `json:"grams"`
	When  string  `json:"when"`
	How   string  `json:"how,omitempty"` // how a volume was weighed
}

// planWater is the water's part of the whole mass on the heat.
type planWater struct {
	InG       float64 `json:"in_g"`
	OffG      float64 `json:"off_g"`
	LeftG     float64 `json:"left_g"`
	InShare   float64 `json:"in_share"` // 0–1 of the whole mass
	LeftShare float64 `json:"left_share"`
}

type planEndpoint struct {
	TargetC      float64 `json:"target_c"`
	How          string  `json:"how"`
	PressurePa   float64 `json:"pressure_pa"` // 0 when unknown
	PressureFrom string  `json:"pressure_from"`
	WaterBoilsC  float64 `json:"water_boils_c"`
	FirstBoilC   float64 `json:"first_boil_c"` // where the whole pot begins to boil
	StallEndsC   float64 `json:"stall_ends_c"`
	DipOpenC     float64 `json:"dip_open_c"`
	DipCloseC    float64 `json:"dip_close_c"`
	Disagreement string  `json:"disagreement,omitempty"` // what published tables disagree on
}

// stallHeight is how far above water's boiling point the stall ends, K.
const stallHeight = 12 / 1.8

// finished returns what is in the pot when the batch stands at its endpoint,
// its target read at sea level where it is a figure for here.
func (r *recipe) finished() syrup.Mix { return r.finishedAt(float64(r.Target), syrup.StandardPressure) }

func (r *recipe) finishedAt(targetC, pPa float64) syrup.Mix {
	all := r.Batch.Melt.Add(r.Batch.Cream)
	return all.WithWater(min(all.Water, all.WaterAt(targetC, pPa)))
}

// creamed returns what is in the pot when the last cream is in: the melt's own
// water has boiled off before, and of the cream's the share lost.
func (r *recipe) creamed(lost float64) syrup.Mix {
	all := r.Batch.Melt.Add(r.Batch.Cream)
	if r.Batch.Cream.Water == 0 {
		return all
	}
	return all.WithWater(r.Batch.Cream.Water * (1 - lost))
}

// finishedML is the volume of the batch at its endpoint, in mL.
func (r *recipe) finishedML() float64 { return r.finished().Volume(float64(r.Target)) }

// newPlan plans a batch of r. It fails where the numbers asked for make no
// batch.
func newPlan(r *recipe, ask planAsk) (*plan, error) {
	scale, by, err := planScale(r, ask)
	if err != nil {
		return nil, err
	}
	p := &plan{Recipe: r.Name, From: r.From, Scale: scale, ScaledBy: by, Yield: float64(r.Yield) * scale, YieldOf: r.YieldOf}
	if by != "" {
		r = r.scaled(scale)
	}
	if ask.PotML > 0 && ask.PotML != r.Pot.HoldsML {
		r = r.inPot(ask.PotML)
	}
	p.recipe = r
	for _, part := range r.Parts {
		p.Weigh = append(p.Weigh, planPart{Food: part.Food.Name, Grams: part.Grams, When: part.Stage.String(), How: part.How})
	}
	p.endpoint(ask)
	p.water()
	p.Pot = newPlanPot(r, p.finished())
	p.Minutes = newPlanMinutes(r, p, ask)
	p.Cream = newPlanCream(r, p.pPa)
	p.Hand = newPlanHand(p, ask.Habits)
	p.Ready, p.Cautions = planReady(p), planCautions(p)
	return p, nil
}

// planScale returns how many times the recipe is to be cooked, and by what.
// Asked by the pot it is as much as leaves the room that a boil needs, down to
// a twentieth.
func planScale(r *recipe, ask planAsk) (scale float64, by string, err error) {
	switch {
	case ask.Yield > 0 && r.Yield == 0:
		return 0, "", usagef("add yield = 24 to the recipe", "recipe %s does not say what it yields, so it cannot be scaled by that", r.Name)
	case ask.Yield > 0:
		scale, by = float64(ask.Yield)/float64(r.Yield), "yield"
	case ask.PotML > 0:
		scale, by = math.Floor(20*ask.PotML/(roomTimes*r.finishedML())+1e-9)/20, "pot"
	default:
		return 1, "", nil
	}
	if scale < 0.1 || scale > 50 {
		return 0, "", usagef("a tenth to fifty times the recipe can be planned", "that would be %.3g times the recipe", scale)
	}
	return scale, by, nil
}

// inPot returns the recipe cooked in another pot of the same material.
func (r *recipe) inPot(mL float64) *recipe {
	s := *r
	s.Pot = pan{HoldsML: mL, Material: r.Pot.Material, NonStick: r.Pot.NonStick}.fill()
	s.Batch = s.batch()
	return &s
}

// endpoint settles the pressure that all else is reckoned at: sea level's
// where it is unknown.
func (p *plan) endpoint(ask planAsk) {
	p.pPa = ask.PressurePa
	if p.pPa == 0 {
		p.pPa = syrup.StandardPressure
	}
	target, how := p.recipe.TargetAt(ask.PressurePa)
	water := syrup.WaterBoils(p.pPa)
	p.Endpoint = planEndpoint{
		TargetC: float64(target), How: how, PressurePa: ask.PressurePa, PressureFrom: ask.PressureFrom,
		WaterBoilsC: water, StallEndsC: water + stallHeight,
		FirstBoilC: p.recipe.creamed(0).Boils(p.pPa),
		DipOpenC:   float64(p.recipe.DipOpen), DipCloseC: float64(p.recipe.DipClose),
	}
	stage := p.recipe.Sweet.Stage
	if stage.Name == "" {
		atSea := target
		if ask.PressurePa != 0 {
			atSea = probe.Celsius(syrup.SyrupBoils(syrup.WaterRatio(float64(target), ask.PressurePa), syrup.StandardPressure))
		}
		stage, _ = syrup.StageAt(float64(atSea))
	}
	p.Endpoint.Disagreement = stageWords(stage)
}

// stageWords says what the tables call a stage and where they disagree, "" for
// none.
func stageWords(s syrup.Stage) string {
	if s.Name == "" {
		return ""
	}
	words := fmt.Sprintf("%s, %.0f–%.0f °F at sea level by two published tables", s.Name, s.FromF, s.ToF)
	if s.Disagreement != "" {
		words += "; the tables read disagree: " + s.Disagreement
	}
	return words
}

func (p *plan) finished() syrup.Mix { return p.recipe.finishedAt(p.Endpoint.TargetC, p.pPa) }

func (p *plan) water() {
	all, left := p.recipe.Batch.Melt.Add(p.recipe.Batch.Cream), p.finished()
	p.Water = planWater{
		InG: all.Water, LeftG: left.Water, OffG: all.Water - left.Water,
		InShare: all.Water / all.Mass(), LeftShare: left.Water / left.Mass(),
	}
}
