package main

import (
	"math"
	"sort"

	"boildown/probe/pot"
	"boildown/syrup"
)

// curve is the boil-off coordinate y = z − ∫κ dT against temperature, at one
// pressure. Under steady net heat y falls along a straight line in time.
type curve struct {
	waterC float64
	y      []float64 // at waterC + curveFrom + i·curveGap
}

const (
	curveFrom = 0.2 // K above water's boiling point; nearer to it z runs away
	curveGap  = 0.1 // K
	curveLen  = 500
)

// newCurve tables a boiling curve with the sensible-heat term kappa, per K.
func newCurve(c pot.Curve, pPa float64, kappa func(tC float64) float64) *curve {
	out := &curve{waterC: syrup.WaterBoils(pPa), y: make([]float64, curveLen)}
	// (T − T_water)·z bends gently where z itself runs away, so that is what
	// is interpolated.
	const n = 300
	var t, u [n]float64
	for i := range n {
		z := 400 * math.Exp(-float64(i)/n*math.Log(400/0.2))
		t[i] = c.Boils(z, pPa)
		u[i] = (t[i] - out.waterC) * z
	}
	sum := 0.0
	for i := range curveLen {
		over := curveFrom + float64(i)*curveGap
		at := out.waterC + over
		k := min(max(sort.SearchFloat64s(t[:], at), 1), n-1)
		f := 0.0
		if t[k] > t[k-1] {
			f = min(max((at-t[k-1])/(t[k]-t[k-1]), 0), 1)
		}
		sum += kappa(at) * curveGap
		out.y[i] = (u[k-1]+f*(u[k]-u[k-1]))/over - sum
	}
	return out
}

// at returns y and its slope at tC, cut to the table.
func (c *curve) at(tC float64) (y, slope float64) {
	u := min(max((tC-c.waterC-curveFrom)/curveGap, 0), curveLen-1.001)
	i := int(u)
	d := c.y[i+1] - c.y[i]
	return c.y[i] + (u-float64(i))*d, d / curveGap
}

// of returns the temperature at which y is reached, cut to the table.
func (c *curve) of(y float64) float64 {
	i := sort.Search(curveLen, func(i int) bool { return c.y[i] <= y })
	if i == 0 {
		return c.waterC + curveFrom
	}
	if i == curveLen {
		return c.waterC + curveFrom + (curveLen-1)*curveGap
	}
	f := (c.y[i-1] - y) / (c.y[i-1] - c.y[i])
	return c.waterC + curveFrom + (float64(i-1)+f)*curveGap
}

// trueCurve is the curve by which the cook's pot boils.
func trueCurve(h pot.Hard) *curve {
	c := h.Config.Curve
	if c == nil {
		c = syrup.StarzakPeacock
	}
	return newCurve(c, h.Config.PressurePa, recipeKappa(h, h.Config.PressurePa))
}

func recipeKappa(h pot.Hard, pPa float64) func(float64) float64 {
	b := syrup.Boiling{Mix: h.Config.Melt.Add(h.Config.Cream), PotJK: h.Config.PotJK, PressurePa: pPa}
	if !(b.Mix.Moles() > 0) {
		return usualKappa
	}
	return func(tC float64) float64 {
		if k := b.Kappa(tC); k > 0 && k < 1 {
			return k
		}
		return usualKappa(tC)
	}
}

// usualKappa is what a small batch has, per K.
func usualKappa(float64) float64 { return 0.04 }

// candidates are the recommended curve at pressures from 71 to 107 kPa, for a
// fit that is not told the pressure.
var candidates = unknownPressure()

func unknownPressure() (cs []*curve) {
	for w := 90.25; w <= 101.6; w += 0.75 {
		cs = append(cs, newCurve(syrup.StarzakPeacock, syrup.SaturationPressure(w), usualKappa))
	}
	return cs
}
