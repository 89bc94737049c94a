package pot

import (
	"math"
	"math/rand/v2"
	"time"

	"boildown/probe"
)

// sensor is the probe in the pot: a body that follows what is round its tip,
// and the electronics behind it.
type sensor struct {
	cfg   ProbeConfig
	blind bool // not computed, for runs that look for the truth only
	pcg   *rand.PCG
	rng   *rand.Rand

	tip      float64 // °C
	share    float64 // of the gap closed in one step, in syrup
	airShare float64 // the same in steam

	spot   float64 // unevenness of a melt where the tip is, standard normal
	bubble float64 // slow part of the boil's noise, standard normal

	dip, lift mishap
	drop      int // readings still to lose
	readAt    time.Duration
}

// mishap is something that happens to the probe now and then.
type mishap struct {
	perMinute float64
	next      time.Duration
	until     time.Duration
	from      time.Duration
	size      float64
}

func newSensor(cfg Config, tC float64, pcg *rand.PCG) sensor {
	s := sensor{
		cfg: cfg.Probe, pcg: pcg, rng: rand.New(pcg), tip: tC,
		share:    decay(cfg.Probe.Lag.Seconds()),
		airShare: decay(10 * cfg.Probe.Lag.Seconds()),
		dip:      mishap{perMinute: cfg.Probe.Dips},
		lift:     mishap{perMinute: cfg.Probe.Lifts},
	}
	s.dip.plan(s.rng, 0)
	s.lift.plan(s.rng, 0)
	return s
}

func (s sensor) clone() sensor {
	pcg := *s.pcg
	s.pcg = &pcg
	s.rng = rand.New(&pcg)
	return s
}

// plan draws the time of the next mishap after t.
func (m *mishap) plan(r *rand.Rand, t time.Duration) {
	m.next = math.MaxInt64
	if m.perMinute > 0 {
		m.next = t + time.Duration(r.ExpFloat64()/m.perMinute*float64(time.Minute))
	}
}

// during reports whether the mishap goes on at t and how far it is, 0–1.
// A new one lasts from lo to hi and has a size from 0 to 1.
func (m *mishap) during(r *rand.Rand, t, lo, hi time.Duration) (float64, bool) {
	if t >= m.next {
		m.from, m.until = t, t+lo+time.Duration(r.Float64()*float64(hi-lo))
		m.size = r.Float64()
		m.plan(r, m.until)
	}
	if t >= m.until {
		return 0, false
	}
	return float64(t-m.from) / float64(m.until-m.from), true
}

// step moves the tip on by one step of the pot's grid.
func (s *sensor) step(p *Pot) {
	around, share := p.contents, s.share
	if p.crystals > 0 {
		around = s.inMelt(p)
	}
	if part, ok := s.dip.during(s.rng, p.now, 4*time.Second, 10*time.Second); ok {
		// Stirring folds the cool surface and rim round the tip.
		around -= (0.3 + 2.5*s.dip.size) * math.Sin(math.Pi*part)
	}
	if _, ok := s.lift.during(s.rng, p.now, 3*time.Second, 20*time.Second); ok {
		around, share = min(p.tab.water-3, p.contents-4), s.airShare
	}
	s.tip += (around - s.tip) * share
}

// inMelt is the temperature round a tip in half-molten sugar: some crystals,
// some syrup, and hot spots that wander.
func (s *sensor) inMelt(p *Pot) float64 {
	const perStep = stepSeconds / 15 // spots wander in some 15 s
	s.spot += -s.spot*perStep + math.Sqrt(2*perStep)*s.rng.NormFloat64()
	wet := p.wet()
	return wet*p.contents + (1-wet)*p.crystalC + 5*s.spot*min(p.crystals/p.cfg.Melt.Solutes, wet)
}

// read returns what the display shows at the pot's time.
func (s *sensor) read(p *Pot) probe.Reading {
	gap := max(p.now-s.readAt, step)
	s.readAt = p.now
	minutes := gap.Minutes()
	if s.drop == 0 && s.cfg.Dropouts > 0 && s.rng.Float64() < s.cfg.Dropouts*minutes {
		s.drop = 1 + s.rng.IntN(5)
	}
	c := s.tip + float64(s.cfg.Offset) + s.noise(p, gap)
	if s.cfg.Spikes > 0 && s.rng.Float64() < s.cfg.Spikes*minutes {
		c += math.Copysign(5+95*s.rng.Float64(), s.rng.Float64()-0.5)
	}
	if s.drop > 0 {
		s.drop--
		return probe.Reading{At: p.now, Fault: probe.FaultEmpty}
	}
	return probe.Reading{At: p.now, C: s.quantised(c)}
}

// noise draws one reading's error in K. In a boil a third of its variance is
// bubbles passing the tip, which last for a second or two; the rest is white.
func (s *sensor) noise(p *Pot, gap time.Duration) float64 {
	const bubbles, seconds = 1.0 / 3, 1.5
	keep := math.Exp(-gap.Seconds() / seconds)
	s.bubble = keep*s.bubble + math.Sqrt(1-keep*keep)*s.rng.NormFloat64()
	n := math.Sqrt(1-bubbles) * s.rng.NormFloat64()
	if p.boiling {
		n += math.Sqrt(bubbles) * s.bubble
	}
	return s.cfg.Noise * n
}

func (s *sensor) quantised(c float64) probe.Celsius {
	if s.cfg.Step <= 0 {
		return probe.Celsius(c)
	}
	if s.cfg.Unit == probe.UnitF {
		return probe.Fahrenheit(math.Round(probe.Celsius(c).F()/s.cfg.Step) * s.cfg.Step)
	}
	return probe.Celsius(math.Round(c/s.cfg.Step) * s.cfg.Step)
}
