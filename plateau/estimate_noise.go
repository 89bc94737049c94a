package plateau

import "math"

// noise measures what the readings carry besides the pot's temperature: the
// bubbles, the probe's own noise, and the steps in which it shows its value.
type noise struct {
	lastC float64 // the last reading and the last bin's mean
	lastM float64
	lastT float64

	step, nextStep float64 // K: the smallest change among the last ones, and that being gathered
	changes        int     // of which nextStep is the smallest

	quick, quickN float64 // mean of half the squared differences of successive bins, and its weight
	long, longN   float64 // mean square of what the line leaves over, per bin
	slowly        float64 // the same from blocks of bins: larger if the noise is not white
	block, blockV float64 // the block being gathered: sum of residuals, and of the line's own variance
	blockN        float64
}

const (
	noiseFadeS   = 120.0 // memory of the noise's strength
	noiseStart   = 0.1   // K, until something has been seen
	noiseStartN  = 6.0   // bins' worth that this guess weighs
	noiseLeast   = 0.012 // K: no pot boils more quietly
	blockBins    = 8
	stepLeast    = 0.03 // K: smaller steps drown in any noise
	stepMost     = 1.3  // K
	stepChanges  = 24
	coarseFactor = 0.6 // a step is coarse if the noise is less than this share of it
)

// newNoise returns what is assumed before the first reading.
func newNoise() noise {
	return noise{quick: noiseStart * noiseStart, quickN: noiseStartN, long: noiseStart * noiseStart, longN: noiseStartN,
		slowly: noiseStart * noiseStart, nextStep: stepMost}
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

// mean takes a bin's mean at t.
func (s *noise) mean(t, m float64) {
	dt := t - s.lastT
	d := m - s.lastM
	s.lastT, s.lastM = t, m
	if dt <= 0 || dt > gapS {
		return
	}
	limit := 16 * s.quick // a jump is no noise
	w := math.Exp(-dt / noiseFadeS)
	s.quickN = s.quickN*w + 1
	s.quick += (min(d*d/2, limit+1e-4) - s.quick) / s.quickN
}

// residual takes what the line left over of a bin, and the variance that the
// line itself had there.
func (s *noise) residual(r, lineVariance, dt float64) {
	total := s.variance() + lineVariance
	r2 := min(r*r, 9*total)
	if lineVariance > 2*s.variance() || dt > gapS {
		s.block, s.blockV, s.blockN = 0, 0, 0
		return
	}
	w := math.Exp(-dt / noiseFadeS)
	s.longN = s.longN*w + 1
	s.long += (max(r2-lineVariance, 0) - s.long) / s.longN
	s.block += math.Copysign(math.Sqrt(r2), r)
	s.blockV += lineVariance
	if s.blockN++; s.blockN == blockBins {
		v := max(s.block*s.block/blockBins-s.blockV, 0) // Var(Σr)/n of white noise is its variance
		s.slowly += (min(v, 9*s.slowly) - s.slowly) * min(2*blockBins/s.longN, 0.5)
		s.block, s.blockV, s.blockN = 0, 0, 0
	}
}

// variance returns the variance in K² that a bin's mean is to be given so that
// many of them together are worth what they really are: the long-run variance,
// which counts the noise's correlation from one second to the next.
func (s *noise) variance() float64 {
	v := max(s.quick, noiseLeast*noiseLeast)
	if s.coarse() {
		step := s.resolution()
		return max(v-step*step/12, 0.04*step*step/12, noiseLeast*noiseLeast)
	}
	return max(v, s.long, s.slowly)
}

// coarse reports whether the probe's steps are wider than the noise, so that a
// reading is an interval.
func (s *noise) coarse() bool {
	step := s.resolution()
	return step > 0 && math.Sqrt(s.quick) < coarseFactor*step
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
