package plateau

import (
	"math"
	"sync"

	"boildown/syrup"
)

// boilingCurve is the boiling curve as the line uses it: how far above water's
// boiling point (the rise x, K) a syrup with the water ratio z boils, where
// water boils at tw. Written this way nearly all of the pressure drops out, and
// with it a probe that reads a little high or low: what is left is a small
// quadratic in tw.
//
//	x = a(ln z) + b(ln z)·d + c(ln z)·d²,   d = (tw − 96 °C)/8 K
//
// a, b and c are cubic Hermite pieces on an even grid in ln z. Against
// [syrup.SyrupBoils] the rise is within 0.0005 K over tw = 86–104 °C and
// z = 0.06–100, which reaches from 0.5 K above water's boiling point into the
// hard crack.
type boilingCurve struct {
	node [curveNodes]curveNode
}

// curveNode is the curve at one point of the grid.
type curveNode struct {
	z        float64
	x, slope [3]float64 // parabolas in d; slope per grid step
}

const (
	curveNodes = 113
	curveMidC  = 96.0
	curveSpanK = 8.0
)

// The driest and the wettest syrup that a line is followed to: z = 0.03 and 200.
const (
	lnZMin = -3.5
	lnZMax = 5.3
)

const (
	curveStep = (lnZMax - lnZMin) / (curveNodes - 1)
	stepsPer  = 1 / curveStep // a product is quicker than a quotient
)

// theCurve is made on first use, so that a command which forecasts nothing
// does not pay for it.
var theCurve = sync.OnceValue(newBoilingCurve)

func newBoilingCurve() *boilingCurve {
	c := new(boilingCurve)
	for i := range c.node {
		z := math.Exp(lnZMin + float64(i)*curveStep)
		var x, slope [3]float64
		for j := range x {
			tw := curveMidC + curveSpanK*float64(j-1)
			pPa := syrup.SaturationPressure(tw)
			t := syrup.SyrupBoils(z, pPa)
			x[j] = t - tw
			slope[j] = curveStep * z / syrup.WaterRatioSlope(t, pPa)
		}
		c.node[i] = curveNode{z: z, x: parabola(x), slope: parabola(slope)}
	}
	return c
}

// parabola returns the coefficients of the parabola through y at −1, 0 and 1.
func parabola(y [3]float64) [3]float64 {
	return [3]float64{y[1], (y[2] - y[0]) / 2, (y[2]+y[0])/2 - y[1]}
}

// at returns the water ratio z, the rise x in K and dx/d(ln z), a negative
// number. It is not asked for anything outside the grid.
func (c *boilingCurve) at(lnZ, tw float64) (z, x, perLn float64) {
	u := (lnZ - lnZMin) * stepsPer
	i := int(clamp(u, 0, curveNodes-2))
	t := u - float64(i)
	d := (tw - curveMidC) * (1 / curveSpanK)
	n0, n1 := &c.node[i], &c.node[i+1]
	p0, p1 := n0.x[0]+d*(n0.x[1]+d*n0.x[2]), n1.x[0]+d*(n1.x[1]+d*n1.x[2])
	m0, m1 := n0.slope[0]+d*(n0.slope[1]+d*n0.slope[2]), n1.slope[0]+d*(n1.slope[1]+d*n1.slope[2])
	c2, c3 := 3*(p1-p0)-2*m0-m1, 2*(p0-p1)+m0+m1
	x = p0 + t*(m0+t*(c2+t*c3))
	perLn = (m0 + t*(2*c2+3*t*c3)) * stepsPer
	r := t * curveStep // so little over the node that five terms of e^r do
	z = n0.z * (1 + r*(1+r*(1./2+r*(1./6+r*(1./24+r*(1./120))))))
	return z, x, perLn
}

// lnRatio returns ln z of the syrup that boils x K above water, x > 0: the
// inverse of at, to the ends of the grid.
func (c *boilingCurve) lnRatio(x, tw float64) (lnZ float64) {
	return c.lnRatioFrom(3.6-log(x), x, tw)
}

// lnRatioFrom is lnRatio begun from a guess. The curve is nearly straight in
// the two logarithms, so a few of Newton's steps reach 1 in 10⁹.
func (c *boilingCurve) lnRatioFrom(lnZ, x, tw float64) float64 {
	for range 8 {
		lnZ = clamp(lnZ, lnZMin, lnZMax)
		_, have, perLn := c.at(lnZ, tw)
		step := log(have/x) * have / perLn
		lnZ -= clamp(step, -1, 1)
		if math.Abs(step) < 3e-5 { // the next one would be its square
			break
		}
	}
	return clamp(lnZ, lnZMin, lnZMax)
}
