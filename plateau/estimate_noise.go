package plateau

import "math"

// noise measures what the readings carry besides the pot's temperature: the
// bubbles, the probe's own noise, and the steps in which it shows its value.
type noise struct {
	lastC        float64 // the last reading
	lastT, lastM float64 // the last bin

	step, nextStep float64 // K: the smallest change among the last ones, and that being gathered
	changes        int     // of which nextStep is the smallest

	n       float64 // bins seen, up to noiseMemory
	quick   float64 // K²: half the median squared difference of successive bins, as a variance
	square  float64 // K²: half their mean square, which tells coarse steps from fine ones
	falls   float64 // share of bins that are lower than the one before
	longN   float64
	long    float64 // K²: mean square of what the line leaves over, per bin
	slowly  float64 // K²: the same from blocks of bins, which is larger if the noise is not white
	cycling bool    // the hob switches on and off
	block   float64 // the block being gathered: sum of residuals,
	blockV  float64 // and of the line's own variance
	blockN  float64
}

const (
	noiseMemory = 120.0 // bins
	noiseStart  = 0.1   // K, until something has been seen
	noiseStartN = 4.0   // bins' worth that this guess weighs
	noiseLeast  = 0.012 // K: no pot boils more quietly
	blockBins   = 8
	stepLeast   = 0.03 // K: smaller steps drown in any noise
	stepMost    = 1.3  // K
	stepChanges = 24
	coarseShare = 0.45   // a step is coarse if the noise is less than this share of it
	coarseStep  = 0.2    // K, and it is at least so wide
	chiMedian   = 0.4549 // median of χ² with one degree of freedom
)

// newNoise returns what is assumed before the first reading.
func newNoise() noise {
	const v = noiseStart * noiseStart
	return noise{nextStep: stepMost, n: noiseStartN, quick: v, square: v, falls: fallsStart, longN: noiseStartN, long: v, slowly: v}
}

// anew forgets the strength of the noise, which differs between a melt and a
// boil, and keeps the probe's steps.
func (s *noise) anew() {
	fresh := newNoise()
	fresh.cycling = s.cycling
	fresh.lastC, fresh.step, fresh.nextStep, fresh.changes = s.lastC, s.step, s.nextStep, s.changes
	*s = fresh
}

// reading watches for the steps in which the probe shows its value.
func (s *noise) reading(c float64) {
	d := math.Abs(c - s.lastC)
	s.lastC = c
	if d < 1e-9 || d > 4*stepMost {
		return
	}
	s.nextStep = min(s.nextStep, d)
	if s.changes++; s.changes >= stepChanges {
		s.step, s.nextStep, s.changes = s.nextStep, stepMost, 0
	} else if s.step > 0 {
		s.step = min(s.step, s.nextStep)
	}
}

// resolution returns the probe's step in K, 0 where there is none to speak of.
func (s *noise) resolution() float64 {
	step := s.step
	if step == 0 && s.changes >= 3 {
		step = s.nextStep
	}
	if step < stepLeast || step >= stepMost {
		return 0
	}
	return step
}

// mean takes a bin's mean m at t. The variance follows the median of the
// squared differences, by steps up and down that balance there: a fifth of all
// seconds spoilt by a stirring spoon hardly move it.
func (s *noise) mean(t, m float64) {
	dt, d := t-s.lastT, m-s.lastM
	s.lastT, s.lastM = t, m
	if dt <= 0 || dt > gapS {
		return
	}
	s.n = min(s.n+1, noiseMemory)
	v := d * d / 2
	rate := 2.5 / s.n
	if v > chiMedian*s.quick {
		s.quick *= 1 + rate
	} else {
		s.quick /= 1 + rate
	}
	s.quick = min(max(s.quick, noiseLeast*noiseLeast), 4)
	limit := max(9*s.square, 1e-3)
	if step := s.resolution(); step > 0 {
		limit = max(limit, step*step/2)
	}
	s.square += (min(v, limit) - s.square) / s.n
	fall := 0.0
	if d < -1e-9 {
		fall = 1
	}
	s.falls += (fall - s.falls) / (s.n + fallsSlow)
}

// residual takes what the line left over of a bin, and the variance that the
// line itself had there.
func (s *noise) residual(r, lineVariance float64) {
	if lineVariance > 2*s.variance() {
		s.block, s.blockV, s.blockN = 0, 0, 0
		return
	}
	s.longN = min(s.longN+1, noiseMemory)
	limit := 9 * (s.variance() + lineVariance)
	s.long += (max(min(r*r, limit)-lineVariance, 0) - s.long) / s.longN
	s.block += r
	s.blockV += lineVariance
	if s.blockN++; s.blockN == blockBins {
		v := max(s.block*s.block/blockBins-s.blockV, 0) // Var(Σr)/n of white noise is its variance
		s.slowly += (min(v, 9*s.slowly) - s.slowly) * min(blockBins/s.longN, 0.4)
		s.block, s.blockV, s.blockN = 0, 0, 0
	}
}

// variance returns the variance in K² that a bin's mean is to be given so that
// many of them together are worth what they really are: the long-run variance,
// which counts the noise's correlation from one second to the next.
func (s *noise) variance() float64 {
	if step := s.resolution(); s.coarse() {
		sd := max(fallsToSD*s.falls, coarseLeast) * step
		return sd * sd
	}
	step := s.resolution()
	quick := max(s.quick, step*step/12, noiseLeast*noiseLeast)
	if step >= coarseStep {
		quick = max(quick, s.square) // a median of so few different values is no good
	}
	most := redMost
	if s.cycling {
		most = redCycling
	}
	return min(max(quick, s.long, (s.long+s.slowly)/2), most*quick)
}

// redMost is how many times the variance from one second to the next the
// long-run variance may be. More is not noise but the line being wrong.
// Except where a hob switches on and off, which swings the pot about its line.
const (
	redMost    = 4.0
	redCycling = 60.0
)

// cycles says that the hob switches on and off.
func (s *noise) cycles() {
	s.cycling = true
	s.long = max(s.long, 3*redMost*s.quick)
	s.slowly = max(s.slowly, 3*redMost*s.quick)
}

// A slow ramp with white noise σ is shown by coarse steps as a staircase that
// flickers at each edge: the chance that one bin is above the edge and the next
// below it, taken over the ramp, is ∫Φ(1−Φ)dx = σ/√π to each step. So σ is √π
// steps for each share of bins that fall, whatever the slope.
const (
	fallsToSD   = 1.7725 // √π
	fallsStart  = 0.04   // share, until something has been seen
	fallsSlow   = 60.0   // bins that this guess weighs besides
	coarseLeast = 0.03   // steps: less noise than this cannot be seen
)

// coarse reports whether the probe's steps are wider than the noise, so that a
// reading is an interval.
func (s *noise) coarse() bool {
	step := s.resolution()
	return step >= coarseStep && s.square < coarseShare*coarseShare*step*step
}

// half returns the half-width of the interval that a bin leaves open.
func (s *noise) half(b bin) float64 {
	if !s.coarse() {
		return 0
	}
	step := s.resolution()
	if b.top-b.low < step/2 {
		return step / 2
	}
	return step / 5 // seen on both sides of an edge: the pot is close to it
}
