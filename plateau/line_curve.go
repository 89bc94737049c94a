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
//	ln x = a(ln z) + b(ln z)·d + c(ln z)·d²,   d = (tw − 96 °C)/8 K
//
// a, b and c are cubic Hermite pieces on an even grid in ln z. Against
// [syrup.SyrupBoils] the rise is within 0.0005 K over tw = 86–104 °C and
// z = 0.06–100, which reaches from 0.5 K above water's boiling point into the
// hard crack.
type boilingCurve struct {
	value, slope [curveNodes][3]float64 // slope per grid step
}

const (
	curveNodes = 97
	curveLowZ  = 0.05
	curveHighZ = 120.0
	curveMidC  = 96.0
	curveSpanK = 8.0
)

var (
	curveLow  = math.Log(curveLowZ)
	curveStep = math.Log(curveHighZ/curveLowZ) / (curveNodes - 1)
	stepsPer  = 1 / curveStep // a product is quicker than a quotient
)

// theCurve is made on first use, so that a command which forecasts nothing
// does not pay for it.
var theCurve = sync.OnceValue(newBoilingCurve)

func newBoilingCurve() *boilingCurve {
	c := new(boilingCurve)
	for i := range c.value {
		z := math.Exp(curveLow + float64(i)*curveStep)
		var lnX, slope [3]float64
		for j := range lnX {
			tw := curveMidC + curveSpanK*float64(j-1)
			pPa := syrup.SaturationPressure(tw)
			t := syrup.SyrupBoils(z, pPa)
			lnX[j] = math.Log(t - tw)
			slope[j] = curveStep * z / (syrup.WaterRatioSlope(t, pPa) * (t - tw))
		}
		c.value[i], c.slope[i] = parabola(lnX), parabola(slope)
	}
	return c
}

// parabola returns the coefficients of the parabola through y at −1, 0 and 1.
func parabola(y [3]float64) [3]float64 {
	return [3]float64{y[1], (y[2] - y[0]) / 2, (y[2]+y[0])/2 - y[1]}
}

// rise returns the rise x in K and dx/d(ln z), a negative number. Outside the
// grid it goes on along the end's tangent in ln x.
func (c *boilingCurve) rise(lnZ, tw float64) (x, perLn float64) {
	u := (lnZ - curveLow) * stepsPer
	i := int(min(max(u, 0), curveNodes-2))
	t := u - float64(i)
	outside := 0.0
	if t < 0 || t > 1 {
		outside = t
		t = min(max(t, 0), 1)
		outside -= t
	}
	d := (tw - curveMidC) * (1 / curveSpanK)
	v0, v1 := &c.value[i], &c.value[i+1]
	s0, s1 := &c.slope[i], &c.slope[i+1]
	p0, p1 := v0[0]+d*(v0[1]+d*v0[2]), v1[0]+d*(v1[1]+d*v1[2])
	m0, m1 := s0[0]+d*(s0[1]+d*s0[2]), s1[0]+d*(s1[1]+d*s1[2])
	c2, c3 := 3*(p1-p0)-2*m0-m1, 2*(p0-p1)+m0+m1
	slope := m0 + t*(2*c2+3*t*c3)
	x = exp(p0 + t*(m0+t*(c2+t*c3)) + outside*slope)
	return x, x * slope * stepsPer
}

// lnRatio returns ln z of the syrup that boils x K above water, x > 0: the
// inverse of rise.
func (c *boilingCurve) lnRatio(x, tw float64) (lnZ float64) {
	return c.lnRatioFrom(3.6-log(x), x, tw)
}

// lnRatioFrom is lnRatio begun from a guess. The curve is nearly straight in
// the two logarithms, so a few of Newton's steps reach 1 in 10⁹.
func (c *boilingCurve) lnRatioFrom(lnZ, x, tw float64) float64 {
	lnX := log(x)
	for range 8 {
		at, perLn := c.rise(lnZ, tw)
		step := (log(at) - lnX) / (perLn / at)
		lnZ -= min(max(step, -1), 1)
		if math.Abs(step) < 3e-5 { // the next one would be its square
			break
		}
	}
	return lnZ
}
