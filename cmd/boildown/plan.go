package main

import "boildown/syrup"

// finished returns what is in the pot when the batch stands at its endpoint,
// its target read at sea level where it is a figure for here.
func (r *recipe) finished() syrup.Mix {
	all := r.Batch.Melt.Add(r.Batch.Cream)
	return all.WithWater(min(all.Water, all.WaterAt(float64(r.Target), syrup.StandardPressure)))
}

// finishedML is the volume of the batch at its endpoint, in mL.
func (r *recipe) finishedML() float64 { return r.finished().Volume(float64(r.Target)) }
