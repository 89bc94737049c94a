package plateau

import "math"

// observation is the mean of the readings of about a second, as the line takes
// it. A probe that shows whole steps, and shows the same one all second long,
// says no more than that the pot is within half a step of it: half is that
// half step, and 0 where the noise is wider than the steps and the mean means
// what it says.
type observation struct {
	mean     float64 // °C
	half     float64 // K, half-width of the interval; 0 for a plain mean
	variance float64 // K², of the noise in the mean
}

// clipSD is how far from its prediction, in standard deviations, a mean still
// pulls in full. Beyond it the pull stays the same (Huber's clipping), so that
// a stirred-in cold spot costs little.
const clipSD = 3.0

// update returns, for a reading predicted with variance s (noise included), how
// far the prediction's mean moves, how much of its variance the observation
// takes away, and the log-likelihood.
//
// For a plain mean these are the Kalman filter's: the residual, s, and the
// Gaussian density. For an interval they are the moments of the Gaussian
// truncated to it, so that a reading which does not move teaches nothing until
// the prediction says that it should have moved by now.
func (o observation) update(predicted, s float64) (move, shrink, logL float64) {
	sd := math.Sqrt(s)
	r := (o.mean - predicted) / sd
	if o.half <= 0 {
		if math.Abs(r) > clipSD {
			return sd * math.Copysign(clipSD, r), s * clipSD / math.Abs(r), logOf(r, sd)
		}
		return sd * r, s, logOf(r, sd)
	}
	return truncated(r, o.half/sd, sd)
}

// logOf is the log density, with Huber's linear tails, of a residual of r sd.
func logOf(r, sd float64) float64 {
	a := math.Abs(r)
	if a <= clipSD {
		return -a*a/2 - log(sd)
	}
	return -clipSD*(a-clipSD/2) - log(sd)
}

// truncated returns update's values for a standard Gaussian seen to lie in
// r ± half, all in units of sd.
func truncated(r, half, sd float64) (move, shrink, logL float64) {
	lo, hi := r-half, r+half
	if lo > 4 || hi < -4 { // out in the tail the interval is as good as its near edge
		near := lo
		if hi < -4 {
			near = hi
		}
		near = math.Copysign(min(math.Abs(near), clipSD), near)
		return sd * near, sd * sd * 0.9, logOf(lo+half, sd) + log(2*half*sd)
	}
	p := (math.Erfc(-hi*math.Sqrt2/2) - math.Erfc(-lo*math.Sqrt2/2)) / 2
	dLo, dHi := density(lo), density(hi)
	mean := (dLo - dHi) / p
	variance := 1 + (lo*dLo-hi*dHi)/p - mean*mean
	return sd * mean, sd * sd * min(max(1-variance, 0), 1), log(p)
}

// density is the standard normal density.
func density(x float64) float64 { return exp(-x*x/2) / math.Sqrt(2*math.Pi) }
