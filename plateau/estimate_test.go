package plateau

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"
	"unsafe"

	"boildown/probe"
	"boildown/syrup"
)

// worstInputs drives an estimator with everything that a probe and a cook can
// do to it, in random order.
func worstInputs(e *estimator, rng *rand.Rand, n int, check func(at time.Duration)) {
	at := time.Duration(0)
	level := 100 + 20*rng.Float64()
	for range n {
		at += time.Duration(rng.ExpFloat64() * float64(time.Second))
		switch rng.IntN(60) {
		case 0:
			e.boilBegan(at - time.Duration(rng.IntN(120))*time.Second)
		case 1:
			e.heatChanged(at-time.Duration(rng.IntN(100))*time.Second, 1-2*rng.IntN(2))
		case 2:
			e.gap(at)
			at += time.Duration(rng.IntN(600)) * time.Second
		case 3:
			e.restart(at)
		case 4:
			e.retarget(probe.Celsius(60 + 120*rng.Float64()))
		case 5:
			level = -30 + 350*rng.Float64()
		default:
			level += 0.3 * rng.NormFloat64()
			e.observe(at, probe.Celsius(level+rng.NormFloat64()).Rounded())
		}
		check(at)
	}
}

// Whatever it is given, the estimator answers with finite numbers in order, and
// keeps none that is not finite: NaN is unequal to itself, which == would show.
func TestEstimatorStaysFinite(t *testing.T) {
	for seed := range uint64(30) {
		rng := rand.New(rand.NewPCG(seed, 99))
		cfg := Config{Target: endpoint, Lag: time.Duration(seed%10) * time.Second}
		if seed%2 == 0 {
			cfg.Pressure = 70000 + 35000*rng.Float64()
		}
		e := newEstimator(cfg)
		worstInputs(&e, rng, 3000, func(at time.Duration) {
			f, why := e.forecast(at)
			c, _ := e.now()
			s, _ := e.slope()
			w, sd := e.waterBoils()
			for _, v := range []float64{float64(c), s, float64(w), float64(sd)} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("seed %d at %v: now %v, slope %v, water %v ± %v", seed, at, c, s, w, sd)
				}
			}
			if f.Ok() != (why == WhyNot) || f.Low < 0 || f.Low > f.ETA || f.ETA > f.High {
				t.Fatalf("seed %d at %v: forecast %+v, why %q", seed, at, f, why)
			}
			if kept := e; kept != e {
				t.Fatalf("seed %d at %v: there is a NaN in %+v", seed, at, e)
			}
		})
	}
}

// The same inputs give the same bits, and a copy goes its own way.
func TestEstimatorIsAValue(t *testing.T) {
	run := func(e *estimator) {
		worstInputs(e, rand.New(rand.NewPCG(7, 7)), 2000, func(at time.Duration) { e.forecast(at) })
	}
	cfg := Config{Target: endpoint, Pressure: syrup.StandardPressure}
	a, b := newEstimator(cfg), newEstimator(cfg)
	run(&a)
	run(&b)
	if a != b {
		t.Error("two runs over the same inputs differ")
	}
	kept := a
	b.observe(24*time.Hour, 110)
	if a != kept {
		t.Error("a copy is tied to its original")
	}
}

// The fold copies its state at each step, so that the estimator's size is part
// of the price of a reading.
func TestEstimatorIsSmall(t *testing.T) {
	if size := unsafe.Sizeof(estimator{}); size > 13<<9 {
		t.Errorf("the estimator takes %d bytes", size)
	}
}

// A line begun late takes in the readings since: told two minutes afterwards,
// it must know as much as one that was told at once.
func TestBoilTold_lateIsTheSameLine(t *testing.T) {
	cfg := Config{Target: endpoint, Pressure: syrup.StandardPressure}
	s := newStove(potAt(104, syrup.StandardPressure, 0.04, steady(workedHeat)), 3)
	prompt, late := newEstimator(cfg), newEstimator(cfg)
	s.run(&prompt, 10, func(float64) { late.observe(clock(s.pot.t), probe.Celsius(s.pot.temperature())) })
	prompt.boilBegan(clock(10))
	for i := 11.0; i <= 90; i++ {
		s.pot.advance(i)
		c := probe.Celsius(s.pot.temperature() + 0.05*s.rng.NormFloat64())
		prompt.observe(clock(i), c)
		late.observe(clock(i), c)
	}
	late.boilBegan(clock(10))
	a, _ := prompt.forecast(clock(90))
	b, _ := late.forecast(clock(90))
	if !a.Ok() || !b.Ok() || math.Abs(math.Log(a.ETA.Seconds()/b.ETA.Seconds())) > 0.15 {
		t.Errorf("told at once %v, told late %v", a.ETA, b.ETA)
	}
}

// What was learned of water's boiling point outlives a restart.
func TestRestartKeepsThePressure(t *testing.T) {
	e := begun(Config{Target: endpoint})
	_, before := e.waterBoils()
	s := newStove(potAt(103, syrup.StandardPressure, 0.04, steady(workedHeat)), 6)
	s.run(&e, 700, nil)
	_, learned := e.waterBoils()
	e.restart(clock(701))
	c, kept := e.waterBoils()
	if learned > before/2 || kept > learned*1.1 || math.Abs(float64(c)-99.974) > 1.5 {
		t.Errorf("water boils at %.2f °C; sd %.2f at first, %.2f when learned, %.2f after the restart", c, before, learned, kept)
	}
}

func TestNoiseTellsCoarseStepsFromFine(t *testing.T) {
	for _, row := range []struct {
		step, sd float64
		coarse   bool
	}{
		{0.1, 0.05, false}, {0.0625, 0.02, false}, {0.5, 0.05, true}, {1, 0.1, true}, {1 / 1.8, 0.05, true}, {0.5, 0.4, false}, {0, 0.2, false},
	} {
		s := newStove(potAt(104, syrup.StandardPressure, 0.04, steady(workedHeat)), 8)
		s.step, s.noise = row.step, row.sd
		e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure})
		s.run(&e, 400, nil)
		if got := math.Sqrt(e.noise.variance()); e.noise.coarse() != row.coarse || got < row.sd/2.5 || got > 3*row.sd+row.step/8 {
			t.Errorf("step %.3f K, noise %.2f K: coarse %v, noise taken for %.3f K", row.step, row.sd, e.noise.coarse(), got)
		}
	}
}
