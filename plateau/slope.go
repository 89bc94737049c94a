package plateau

import "math"

// leastSquares holds the sums of a weighted straight-line fit y = a + b·t.
// The origin of t moves along with the newest point, so that the sums neither
// grow nor cancel however long the batch. The zero value has seen nothing.
type leastSquares struct {
	n, nn     float64 // Σw, Σw²
	t, tt     float64 // Σwt, Σwt²
	y, ty, yy float64 // Σwy, Σwty, Σwy²
}

// fit is a straight line through the newest point's time, t = 0.
type fit struct {
	level, slope     float64 // a, b
	levelSE, slopeSE float64 // standard errors from the residuals
	residual         float64 // residual standard deviation
}

// add takes the point (t, y) with weight w.
func (s *leastSquares) add(t, y, w float64) {
	s.n += w
	s.nn += w * w
	s.t += w * t
	s.tt += w * t * t
	s.y += w * y
	s.ty += w * t * y
	s.yy += w * y * y
}

// shift moves the origin of t forward by dt.
func (s *leastSquares) shift(dt float64) {
	s.tt += dt * (dt*s.n - 2*s.t)
	s.t -= dt * s.n
	s.ty -= dt * s.y
}

// discount multiplies the weight of all that was seen by f.
func (s *leastSquares) discount(f float64) {
	s.n *= f
	s.nn *= f * f
	s.t *= f
	s.tt *= f
	s.y *= f
	s.ty *= f
	s.yy *= f
}

// fit solves the normal equations. ok is false until three effective points
// that do not stand at one time have been seen.
func (s *leastSquares) fit() (f fit, ok bool) {
	if s.n <= 0 {
		return fit{}, false
	}
	points := s.n * s.n / s.nn // Kish's effective sample size
	mt, my := s.t/s.n, s.y/s.n
	stt := s.tt - s.t*mt
	if points < 2.5 || stt <= 1e-9*s.n {
		return fit{}, false
	}
	sty, syy := s.ty-s.t*my, s.yy-s.y*my
	f.slope = sty / stt
	f.level = my - f.slope*mt
	variance := max(syy-f.slope*sty, 0) / s.n * points / max(points-2, 0.5)
	f.residual = math.Sqrt(variance)
	perPoint := variance * s.nn / s.n // of a weighted mean: σ²Σw²/(Σw)², times Σw
	f.slopeSE = math.Sqrt(perPoint / stt)
	f.levelSE = math.Sqrt(perPoint * (1/s.n + mt*mt/stt))
	return f, true
}

// spread returns Σw(t − t̄)².
func (s *leastSquares) spread() float64 { return max(s.tt-s.t*s.t/s.n, 1e-9) }

// slopeMeter measures the slope of the readings themselves, in °C/s, knowing
// nothing of syrup. It keeps two straight lines whose weights fade with age,
// e^(−age/τ): a slow one for the stall, where a slope is lost in the bubbles,
// and a quick one that takes over as soon as the two disagree by more than
// their noise.
//
// A straight line with geometrically fading weights λ^age is the fading-memory
// filter, whose steady state is an α–β filter with α = 1 − λ², β = (1 − λ)².
type slopeMeter struct {
	quick, slow leastSquares
	origin      float64 // y is counted from here, to keep Σy² small
	at          float64 // s, time of the newest point
	started     bool
}

const (
	quickFadeS = 7.0
	slowFadeS  = 30.0
	meterGapS  = 20.0 // after a longer gap the slope begins anew
)

// add takes the temperature y at t seconds.
func (m *slopeMeter) add(t, y float64) {
	dt := t - m.at
	if !m.started || dt > meterGapS {
		*m = slopeMeter{started: true, origin: y}
		dt = 0
	}
	m.at = t
	m.quick.shift(dt)
	m.slow.shift(dt)
	m.quick.discount(exp(-dt / quickFadeS))
	m.slow.discount(exp(-dt / slowFadeS))
	m.quick.add(0, y-m.origin, 1)
	m.slow.add(0, y-m.origin, 1)
}

// fit returns the level (°C) and slope (°C/s) at the newest point.
func (m *slopeMeter) fit() (f fit, ok bool) {
	slow, ok := m.slow.fit()
	if !ok {
		return fit{}, false
	}
	if quick, ok := m.quick.fit(); ok {
		sd := math.Hypot(quick.slopeSE, slow.slopeSE) + 1e-9
		apart := math.Abs(quick.slope-slow.slope) / sd
		w := min(max((apart-1.5)/1.5, 0), 1) // from slow to quick between 1.5 and 3 sd
		slow = fit{
			level: slow.level + w*(quick.level-slow.level), levelSE: slow.levelSE + w*(quick.levelSE-slow.levelSE),
			slope: slow.slope + w*(quick.slope-slow.slope), slopeSE: slow.slopeSE + w*(quick.slopeSE-slow.slopeSE),
			residual: quick.residual,
		}
	}
	slow.level += m.origin
	return slow, true
}
