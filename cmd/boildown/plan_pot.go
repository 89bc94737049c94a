package main

import (
	"boildown/syrup"
)

// How much room and depth a batch needs. Common practice, no source: a pot of
// three to four times the finished volume.
const (
	roomTimes    = 3.5
	roomTooTight = 3.0
	meltCoversCM = 1.0 // our own choice: less does not cover a probe's tip
)

// planPot is the pot round the batch. Zeros where the pot is unknown.
type planPot struct {
	HoldsML     float64 `json:"holds_ml"`
	FinishedML  float64 `json:"finished_ml"`
	Room        float64 `json:"room"` // the pot's volume over the finished batch's
	Tight       bool    `json:"tight"`
	DepthCM     float64 `json:"depth_cm"` // of the finished batch
	NeedsCM     float64 `json:"needs_cm"` // to dip
	Shallow     bool    `json:"shallow"`
	MeltDepthCM float64 `json:"melt_depth_cm"`
}

func newPlanPot(r *recipe, finished syrup.Mix) planPot {
	pot := planPot{
		HoldsML: r.Pot.HoldsML, FinishedML: finished.Volume(float64(r.Target)), NeedsCM: r.DipDepthCM,
		MeltDepthCM: r.Pot.depthCM(r.Batch.Melt.Volume(150)),
	}
	if pot.HoldsML > 0 {
		pot.Room = pot.HoldsML / pot.FinishedML
		pot.Tight = pot.Room < roomTooTight
	}
	pot.DepthCM = r.Pot.depthCM(pot.FinishedML)
	pot.Shallow = r.Dips && pot.DepthCM > 0 && pot.DepthCM < pot.NeedsCM
	return pot
}

// planCream is how the cream can go in without the pot falling under its floor.
type planCream struct {
	TotalG  float64 `json:"total_g"`
	AtOnceG float64 `json:"at_once_g"` // the largest first portion that leaves the pot over its floor
	FirstG  float64 `json:"first_g"`   // the largest that leaves it over FloorC
	MeltC   float64 `json:"melt_c"`    // of a melt at this temperature
	CreamC  float64 `json:"cream_c"`   // by cream as warm as this
	FloorC  float64 `json:"floor_c"`   // the floor while there is hardly any water in the pot
	SteamL  float64 `json:"steam_l"`   // that a first cold portion of 40 g makes at once
}

// A melt of amber colour, cream warmed to steaming, and the floor while there
// is hardly any water in the pot.
const (
	plannedMeltC  = 170.0
	plannedCreamC = 80.0
	plannedFloorC = 150.0
	plannedGapS   = 20.0 // from one portion to the next

	floorUnderK = 5.0     // the floor lies so far under the boiling point of what is in the pot: our own choice
	overFloorK  = 0.6     // what a portion leaves over it, as cook does
	foamsShare  = 1.0 / 3 // of the cream at once, at most: it foams
)

// atOnce returns the most cream that can go in at once: a third of it, or what
// leaves the pot over its floor.
func atOnce(r *recipe, hotJK, meltC, creamC, pPa float64) (g float64) {
	const tries = 32
	cream := r.Batch.Cream
	for n := tries; n > 0; n-- {
		share := foamsShare * float64(n) / tries
		p := syrup.Pour(r.Batch.Melt.WithWater(0), hotJK, meltC, cream.Scale(share), creamC, 0, pPa)
		if p.C > min(p.Mix.Boils(pPa)-floorUnderK, plannedFloorC)+overFloorK {
			return share * cream.Mass()
		}
	}
	return 0
}

func newPlanCream(r *recipe, pPa float64) planCream {
	c := planCream{TotalG: r.Batch.Cream.Mass(), MeltC: plannedMeltC, CreamC: plannedCreamC, FloorC: plannedFloorC}
	if r.Batch.CreamC > 0 {
		c.CreamC = r.Batch.CreamC
	}
	if c.TotalG == 0 || r.Batch.Cream.Water == 0 {
		return planCream{}
	}
	hotJK := r.Batch.Melt.Solutes*syrup.MoltenSugarCp + r.Batch.PotJK
	portion := syrup.Portion{
		CpJGK: r.Batch.Cream.HeatCapacity(60) / c.TotalG, Water: r.Batch.Cream.Water / c.TotalG,
		CreamC: c.CreamC, FloorC: c.FloorC, BoilsC: syrup.WaterBoils(pPa),
	}
	c.FirstG = min(c.TotalG, portion.Largest(hotJK, c.MeltC, 0))
	c.AtOnceG = max(atOnce(r, hotJK, c.MeltC, c.CreamC, pPa), c.FirstG)
	cold := syrup.Pour(r.Batch.Melt.WithWater(0), hotJK, c.MeltC, r.Batch.Cream.Scale(40/c.TotalG), 5, 0, pPa)
	c.SteamL = syrup.SteamVolume(cold.FlashG)
	return c
}
