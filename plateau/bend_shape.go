package plateau

import "math"

// shape is what a probe of lag τ shows of a pot that climbs at one slope until
// a bend, and at another after it:
//
//	level + u·(R(t) − R(t − bend)) + v·R(t − bend),  R(t) = t − τ(1 − e^(−t/τ)),
//
// with the sums of the readings of a reach over it. A reach that begins where
// the probe turned has it come from elsewhere there, for all that can be seen:
// from a stirred-in spot or from the steam. So it may also be on its way to the
// pot by offK or so, as e^(−t/τ), which is summed over by taking out of the
// sums what such a way would explain.
type shape struct {
	before, after [recentS]float64 // s, what multiplies u and v
	yy, y1, y2    float64          // sums of squares and products about their means
	s11, s12, s22 float64
}

// bend puts the bend at so many seconds after the reach's first, and nowhere
// for less than 0.
func (b *shape) bend(r *reach, at float64) {
	var t1, t2, ty float64
	b.yy, b.y1, b.y2, b.s11, b.s12, b.s22 = 0, 0, 0, 0, 0, 0
	for i := range r.n {
		whole, late := r.t[i], 0.0
		if r.rest {
			whole = r.ramp(whole)
		}
		if at >= 0 {
			late = r.ramp(r.t[i] - at)
		}
		e1, e2, y := whole-late, late, r.c[i]
		b.before[i], b.after[i] = e1, e2
		t1, t2, ty = t1+e1, t2+e2, ty+y
		b.yy += y * y
		b.y1 += y * e1
		b.y2 += y * e2
		b.s11 += e1 * e1
		b.s12 += e1 * e2
		b.s22 += e2 * e2
	}
	n := float64(r.n)
	b.yy -= ty * ty / n
	b.y1 -= ty * t1 / n
	b.y2 -= ty * t2 / n
	b.s11 -= t1 * t1 / n
	b.s12 -= t1 * t2 / n
	b.s22 -= t2 * t2 / n
	if r.rest && r.lag >= 0.1 {
		b.settle(r, t1/n, t2/n, ty/n)
	}
}

// offK is how far off a probe may be that has just turned, K.
const offK = 1.0

// settle takes out what a probe's way to the pot would explain.
func (b *shape) settle(r *reach, m1, m2, my float64) {
	var te, ee, e1, e2, ey float64
	for i := range r.n {
		e := r.fade[i]
		te += e
		ee += e * e
		e1 += e * (b.before[i] - m1)
		e2 += e * (b.after[i] - m2)
		ey += e * (r.c[i] - my)
	}
	ee += r.variance/(offK*offK) - te*te/float64(r.n)
	b.yy -= ey * ey / ee
	b.y1 -= ey * e1 / ee
	b.y2 -= ey * e2 / ee
	b.s11 -= e1 * e1 / ee
	b.s12 -= e1 * e2 / ee
	b.s22 -= e2 * e2 / ee
}

// like is the logarithm of how likely the readings are if v = keeps·u, summed
// over the level and over u, whose logarithm is ln give or take sd.
func (b *shape) like(r *reach, keeps, ln, sd float64) float64 {
	a := b.y1 + keeps*b.y2
	c := max(b.s11+2*keeps*b.s12+keeps*keeps*b.s22, 1e-6)
	u := max(a/c, 1e-5)
	du := math.Sqrt(r.variance / c)
	prior := func(u float64) float64 {
		z := (log(u) - ln) / sd
		return -z*z/2 - log(u*sd)
	}
	if r.soft == 0 && du < 0.3*u { // narrow enough for Laplace's method
		return -(b.yy-a*a/c)/(2*r.variance) + log(du*math.Sqrt(2*math.Pi)) + prior(u)
	}
	const grid = 12
	mid, wide := exp(ln), exp(2*sd)
	lo := max(min(u-3*du, mid*wide), mid*exp(-3*sd))
	hi := min(max(u+3*du, mid/wide), mid*exp(3*sd))
	var l [grid]float64
	top := math.Inf(-1)
	for i := range l {
		u := lo + (hi-lo)*(float64(i)+0.5)/grid
		if r.soft > 0 {
			l[i] = b.boxes(r, u, keeps*u) + prior(u)
		} else {
			l[i] = -(b.yy-2*u*a+u*u*c)/(2*r.variance) + prior(u)
		}
		top = max(top, l[i])
	}
	sum := 0.0
	for _, v := range l {
		sum += exp(max(v-top, -600))
	}
	return top + log(max(sum*(hi-lo)/grid, 1e-200))
}

// boxes is the logarithm of the likelihood for a probe with coarse steps. A
// reading then leaves an interval open, and the level must lie in all of them:
// ∫Φ((L − lo)/σ)·Φ((hi − L)/σ) dL / (σ√2), with the edges blurred by σ.
func (b *shape) boxes(r *reach, u, v float64) float64 {
	lo, hi := math.Inf(-1), math.Inf(1)
	for i := range r.n {
		y := r.c[i] - u*b.before[i] - v*b.after[i]
		lo, hi = max(lo, y-r.half[i]), min(hi, y+r.half[i])
	}
	z := (hi - lo) / (r.soft * math.Sqrt2)
	if z < -5 { // the tail, where the two terms below cancel
		return -z*z/2 - log(math.Sqrt(2*math.Pi)*z*z)
	}
	return log(exp(-z*z/2)/math.Sqrt(2*math.Pi) + z*math.Erfc(-z/math.Sqrt2)/2)
}
