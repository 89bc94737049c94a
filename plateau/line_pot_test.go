package plateau

import (
	"math"
	"math/rand/v2"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// exactPot is a pot that obeys the line exactly: y = z − κT falls by k a
// second, whatever k is at the time. It knows no pan, no bubbles and no losses;
// the simulated pot of package pot is for those.
type exactPot struct {
	kappa, pPa float64
	y          float64
	heat       func(t float64) float64 // k per second
	t, c       float64
}

// potAt returns a pot at tC.
func potAt(tC, pPa, kappa float64, heat func(t float64) float64) *exactPot {
	return &exactPot{kappa: kappa, pPa: pPa, y: syrup.WaterRatio(tC, pPa) - kappa*tC, heat: heat, c: tC}
}

// steady is a constant heat of k a minute.
func steady(perMin float64) func(float64) float64 {
	return func(float64) float64 { return perMin / 60 }
}

// advance runs the pot on to t by steps of 0.1 s.
func (p *exactPot) advance(t float64) {
	for p.t < t-1e-9 {
		dt := math.Min(0.1, t-p.t)
		p.y -= dt * p.heat(p.t)
		p.t += dt
	}
}

// temperature solves z(T) − κT = y by Newton's steps from the last answer.
func (p *exactPot) temperature() float64 {
	for range 30 {
		f := syrup.WaterRatio(p.c, p.pPa) - p.kappa*p.c - p.y
		step := f / (syrup.WaterRatioSlope(p.c, p.pPa) - p.kappa)
		p.c = max(p.c-min(max(step, -1), 1), syrup.WaterBoils(p.pPa)+0.05)
		if math.Abs(step) < 1e-9 {
			break
		}
	}
	return p.c
}

// left returns the seconds to tC at the present heat.
func (p *exactPot) left(tC float64) float64 {
	return (p.y - (syrup.WaterRatio(tC, p.pPa) - p.kappa*tC)) / p.heat(p.t)
}

// stove reads a pot as a probe does.
type stove struct {
	pot                     *exactPot
	rng                     *rand.Rand
	hz, noise, step, offset float64
}

func newStove(p *exactPot, seed uint64) *stove {
	return &stove{pot: p, rng: rand.New(rand.NewPCG(seed, 7)), hz: 1, noise: 0.1}
}

// run reads until t, calling each after every reading.
func (s *stove) run(e *estimator, until float64, each func(at float64)) {
	for i := 1; ; i++ {
		t := s.pot.t + 1/s.hz
		if t > until+1e-9 {
			return
		}
		s.pot.advance(t)
		c := s.pot.temperature() + s.offset + s.noise*s.rng.NormFloat64()
		if s.step > 0 {
			c = math.Round(c/s.step) * s.step
		}
		e.observe(clock(t), probe.Celsius(c).Rounded())
		if each != nil {
			each(t)
		}
	}
}

func clock(s float64) time.Duration {
	return time.Duration(math.Round(s*1e3)) * time.Millisecond
}
