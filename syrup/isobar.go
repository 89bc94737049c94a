package syrup

import "math"

// Isobar is the boiling curve at one pressure, made cheap for a fold that asks
// for it at every reading: a polynomial in place of the root. It is a small
// comparable value; make it once for a pressure with [NewIsobar]. The zero
// value is not usable.
//
// Up to 40 K above water's boiling point it is within 2 in 100,000 of
// [WaterRatio], which is less than 0.001 K anywhere, and its slope within 3 in
// 10,000; hotter it is [WaterRatio] itself.
type Isobar struct {
	pPa, water float64
	c          [isobarTerms]float64 // of z·θ, θ = T − water, in powers of v
}

// z·θ is tame where z runs off to infinity, but bends sharply just below θ = 0,
// where the quadratic that z nearly obeys has its branch point. A square root
// counted from there straightens the bend.
const (
	isobarTerms  = 12
	isobarHighK  = 40.0
	isobarBranch = 1.27 // K
)

// NewIsobar returns the boiling curve at pPa, 70–105 kPa; other pressures are
// served by [WaterRatio] at its own pace.
func NewIsobar(pPa float64) Isobar {
	s := Isobar{pPa: pPa, water: WaterBoils(pPa)}
	if !(pPa >= 60e3 && pPa <= 120e3) {
		return s
	}
	var cheb [isobarTerms]float64
	for j := range isobarTerms {
		a := math.Pi * (float64(j) + 0.5) / isobarTerms
		th := isobarTheta(math.Cos(a))
		y := WaterRatio(s.water+th, pPa) * th
		for k := range cheb {
			cheb[k] += 2.0 / isobarTerms * y * math.Cos(float64(k)*a)
		}
	}
	cheb[0] /= 2
	s.c = powers(cheb)
	return s
}

// isobarTheta and isobarV carry [0, isobarHighK] to [−1, 1] and back.
func isobarTheta(v float64) (th float64) {
	lo, hi := math.Sqrt(isobarBranch), math.Sqrt(isobarBranch+isobarHighK)
	u := lo + (hi-lo)*(v+1)/2
	return u*u - isobarBranch
}

func isobarV(th float64) (v, dvdth float64) {
	lo, hi := math.Sqrt(isobarBranch), math.Sqrt(isobarBranch+isobarHighK)
	u := math.Sqrt(th + isobarBranch)
	return 2*(u-lo)/(hi-lo) - 1, 1 / (u * (hi - lo))
}

// powers turns a sum of Chebyshev polynomials into one of powers.
func powers(cheb [isobarTerms]float64) (c [isobarTerms]float64) {
	var before, now [isobarTerms]float64 // T(k−1), T(k)
	before[0], now[1] = 1, 1
	c[0], c[1] = cheb[0], cheb[1]
	for k := 2; k < isobarTerms; k++ {
		var next [isobarTerms]float64
		for i := range isobarTerms {
			if i > 0 {
				next[i] = 2 * now[i-1]
			}
			next[i] -= before[i]
			c[i] += cheb[k] * next[i]
		}
		before, now = now, next
	}
	return c
}

// Pressure returns the pressure in Pa that the isobar was made for.
func (s *Isobar) Pressure() (pPa float64) { return s.pPa }

// WaterBoils returns water's boiling point at the isobar's pressure, °C.
func (s *Isobar) WaterBoils() (tC float64) { return s.water }

// Ratio returns [WaterRatio] and [WaterRatioSlope] at tC.
func (s *Isobar) Ratio(tC float64) (z, dzdT float64) {
	th := tC - s.water
	switch {
	case th <= 0:
		return math.Inf(1), math.Inf(-1)
	case !(th <= isobarHighK) || s.c[0] == 0:
		return waterRatio(tC, s.pPa)
	}
	v, dv := isobarV(th)
	y, dy := s.c[isobarTerms-1], 0.0
	for i := isobarTerms - 2; i >= 0; i-- {
		dy = dy*v + y
		y = y*v + s.c[i]
	}
	z = y / th
	return z, (dy*dv - z) / th
}

// Boils returns [SyrupBoils] for the water ratio z.
func (s *Isobar) Boils(z float64) (tC float64) {
	if s.c[0] == 0 || !(z < 1e6) {
		return SyrupBoils(z, s.pPa)
	}
	// ln z is nearly straight in ln θ: two or three of Newton's steps.
	th := isobarGuess / math.Max(z, 0.5)
	for range 20 {
		if th > isobarHighK {
			return SyrupBoils(z, s.pPa)
		}
		zi, slope := s.Ratio(s.water + th)
		step := math.Log(z/zi) * zi / (slope * th)
		th *= math.Exp(step)
		if math.Abs(step) < 1e-6 { // the next one would be its square
			break
		}
	}
	return s.water + th
}

// isobarGuess is near z·θ over the stall, K; see [WaterRatio].
const isobarGuess = 45.0
