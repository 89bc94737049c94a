package plateau

import "math"

// The line asks for some hundred exponentials and logarithms for every second
// of readings, which is most of what a step costs. These two read a table and
// add a short series, which takes a quarter of the time of the library's.

const (
	quickBits  = 6
	quickSteps = 1 << quickBits // table entries for each doubling
	fracBits   = 52             // of a float64
	fracMask   = 1<<fracBits - 1
	expBias    = 1023
)

// twoTo holds 2^(i/64); logOf64 holds ln(1 + (i+½)/64), and inverse the
// reciprocal of that 1 + (i+½)/64.
var twoTo, logOf64, inverse = func() (p, l, r [quickSteps]float64) {
	for i := range p {
		p[i] = math.Exp2(float64(i) / quickSteps)
		middle := 1 + (float64(i)+0.5)/quickSteps
		r[i] = 1 / middle
		l[i] = -math.Log(r[i])
	}
	return p, l, r
}()

// exp is [math.Exp] to 5 parts in 10¹⁶.
func exp(x float64) float64 {
	// ln 2 in two parts, so that k of them come off x without rounding.
	const high, low = 6.93147180369123816490e-01 / quickSteps, 1.90821492927058770002e-10 / quickSteps
	if !(x > -700 && x < 700) {
		return math.Exp(x)
	}
	k := math.RoundToEven(x * (quickSteps / math.Ln2))
	r := x - k*high - k*low // |r| ≤ ln 2/128, where the fifth power is the last that counts
	p := r + r*r*(1./2+r*(1./6+r*(1./24+r*(1./120))))
	n := int64(k)
	t := twoTo[n&(quickSteps-1)]
	return (t + t*p) * math.Float64frombits(uint64(n>>quickBits+expBias)<<fracBits)
}

// log is [math.Log] to 5 parts in 10¹⁶ of itself or of 1, whichever is more.
func log(x float64) float64 {
	if !(x > 1e-300 && x < 1e300) {
		return math.Log(x)
	}
	b := math.Float64bits(x)
	i := b >> (fracBits - quickBits) & (quickSteps - 1)
	r := math.Float64frombits(b&fracMask|expBias<<fracBits)*inverse[i] - 1 // |r| ≤ 1/128
	p := r - r*r*(1./2-r*(1./3-r*(1./4-r*(1./5-r*(1./6-r*(1./7))))))
	return float64(int64(b>>fracBits)-expBias)*math.Ln2 + logOf64[i] + p
}
