package plateau

import (
	"math"
	"slices"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// The worked cook: 400 g of sugar and 480 g of cream with 600 W net fall by
// 0.712 a minute and take 12.71 minutes from 103.0 °C to 235 °F (computed by
// hand from the line y = z − κT; κ ≈ 0.04).
const workedHeat = 0.712 // per minute

var endpoint = probe.Fahrenheit(235)

func begun(cfg Config) estimator {
	e := newEstimator(cfg)
	e.boilBegan(0)
	return e
}

// The generator itself must reproduce the worked figures, or nothing that is
// measured with it means anything.
func TestExactPotAgainstWorkedFigures(t *testing.T) {
	for _, row := range []struct {
		fromF, toF, perMin, minutes float64
	}{
		{220, 235, 0.712, 7.88}, {217.5, 235, 0.712, 12.71}, {225, 235, 0.712, 12.71 - 9.14},
		{228, 235, 0.712, 127.0 / 60}, {228, 235, 0.712 * 400 / 600, 190.0 / 60},
	} {
		p := potAt(float64(probe.Fahrenheit(row.fromF)), syrup.StandardPressure, 0.04, steady(row.perMin))
		got := p.left(float64(probe.Fahrenheit(row.toF))) / 60
		if math.Abs(got/row.minutes-1) > 0.02 {
			t.Errorf("%v → %v °F: %.2f min, worked %.2f", row.fromF, row.toF, got, row.minutes)
		}
	}
}

// forecastErrors returns the forecast's relative errors in many cooks of the worked
// batch, each asked once when left seconds remain.
func forecastErrors(t *testing.T, left float64, cooks int, arrange func(i int, s *stove, cfg *Config)) (errs []float64, held float64) {
	t.Helper()
	for i := range cooks {
		pot := potAt(103, syrup.StandardPressure, 0.04, steady(workedHeat))
		s := newStove(pot, uint64(i))
		cfg := Config{Target: endpoint, Pressure: syrup.StandardPressure}
		arrange(i, s, &cfg)
		e := begun(cfg)
		s.run(&e, pot.left(float64(cfg.Target)-s.offset)-left, nil)
		truth := pot.left(float64(cfg.Target) - s.offset)
		f, why := e.forecast(clock(pot.t))
		if !f.Ok() {
			t.Logf("cook %d, %.0f s left: %v", i, left, why)
			errs = append(errs, 1)
			continue
		}
		errs = append(errs, math.Abs(f.ETA.Seconds()-truth)/truth)
		if f.Low.Seconds() <= truth && truth <= f.High.Seconds() {
			held += 1 / float64(cooks)
		}
	}
	slices.Sort(errs)
	return errs, held
}

func TestForecastErrors(t *testing.T) {
	const cooks = 20
	for _, row := range []struct {
		name        string
		left        float64
		median, p90 float64
		arrange     func(i int, s *stove, cfg *Config)
	}{
		{"calibrated, 10 min left", 600, 0.18, 0.30, func(int, *stove, *Config) {}},
		{"calibrated, 5 min left", 300, 0.05, 0.12, func(int, *stove, *Config) {}},
		{"calibrated, 1 min left", 60, 0.06, 0.20, func(int, *stove, *Config) {}},
		{"probe 0.3 K off either way", 120, 0.08, 0.2, func(i int, s *stove, _ *Config) { s.offset = 0.3 * float64(i%2*2-1) }},
		{"pressure unknown", 120, 0.10, 0.3, func(_ int, _ *stove, c *Config) { c.Pressure = 0 }},
		{"0.5 °C steps", 120, 0.10, 0.3, func(_ int, s *stove, _ *Config) { s.step, s.noise = 0.5, 0.05 }},
		{"1 °F steps, quiet", 120, 0.12, 0.3, func(_ int, s *stove, _ *Config) { s.step, s.noise = 1/1.8, 0.02 }},
		{"noisy", 120, 0.08, 0.25, func(_ int, s *stove, _ *Config) { s.noise = 0.4 }},
		{"two seconds a reading", 120, 0.08, 0.2, func(_ int, s *stove, _ *Config) { s.hz = 0.5 }},
		{"ten readings a second", 120, 0.05, 0.15, func(_ int, s *stove, _ *Config) { s.hz = 10 }},
	} {
		t.Run(row.name, func(t *testing.T) {
			errs, held := forecastErrors(t, row.left, cooks, row.arrange)
			median, p90 := errs[cooks/2], errs[cooks*9/10]
			t.Logf("median %.1f %%, 90th %.1f %%, interval held %.0f %%", median*100, p90*100, held*100)
			if median > row.median || p90 > row.p90 {
				t.Errorf("median %.3f, 90th %.3f, want at most %.3f and %.3f", median, p90, row.median, row.p90)
			}
		})
	}
}

// turnedCook runs the worked cook to tF, turns the heat to factor there, and
// returns the forecast's relative error so many seconds later.
func turnedCook(seed uint64, tF, factor, later float64, marked bool) float64 {
	at := math.Inf(1)
	pot := potAt(103, syrup.StandardPressure, 0.04, nil)
	pot.heat = func(t float64) float64 {
		if t < at {
			return workedHeat / 60
		}
		return workedHeat / 60 * factor
	}
	s := newStove(pot, seed)
	s.noise = 0.05
	e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure})
	at = pot.left(float64(probe.Fahrenheit(tF)))
	s.run(&e, at, nil)
	if marked {
		e.heatChanged(clock(at), int(math.Copysign(1, factor-1)))
	}
	s.run(&e, at+later, nil)
	truth := pot.left(float64(endpoint))
	f, _ := e.forecast(clock(pot.t))
	if !f.Ok() {
		return 1
	}
	return math.Abs(f.ETA.Seconds()-truth) / truth
}

// A cook turns 600 W down to 400 W at 225 °F: found and taken up within 45 s
// when it is marked and within 90 s when it is not. Turning up is the dangerous
// way, since the target then comes early.
func TestTurnedHeat(t *testing.T) {
	for _, row := range []struct {
		name                  string
		factor, later, median float64
		marked                bool
	}{
		{"down, marked", 400.0 / 600, 45, 0.15, true},
		{"down, not marked", 400.0 / 600, 90, 0.15, false},
		{"up, marked", 1.4, 45, 0.15, true},
		{"up, not marked", 1.4, 75, 0.15, false},
	} {
		t.Run(row.name, func(t *testing.T) {
			var errs []float64
			for seed := range uint64(21) {
				errs = append(errs, turnedCook(seed, 225, row.factor, row.later, row.marked))
			}
			slices.Sort(errs)
			t.Logf("median %.3f, 90th %.3f", errs[10], errs[18])
			if errs[10] > row.median {
				t.Errorf("median error %.3f after %v s, want at most %v", errs[10], row.later, row.median)
			}
		})
	}
}

// Where the target is not coming, no number is given.
func TestNotOnItsWay(t *testing.T) {
	for _, row := range []struct {
		name   string
		heat   func(float64) float64
		target probe.Celsius
	}{
		{"keeps warm", steady(0.0), endpoint},
		{"heat off after two minutes", func(t float64) float64 { return map[bool]float64{true: workedHeat / 60, false: -0.2 / 60}[t < 120] }, endpoint},
		{"target below the pot", steady(workedHeat), 101},
		{"target below water's boiling point", steady(workedHeat), 95},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := newStove(potAt(104, syrup.StandardPressure, 0.04, row.heat), 4)
			s.noise = 0.05
			e := begun(Config{Target: row.target, Pressure: syrup.StandardPressure})
			s.run(&e, 420, nil)
			if f, why := e.forecast(clock(420)); f.Ok() || why != WhyNotOnItsWay {
				t.Errorf("forecast %v to %v, %q, want none: not on its way", f.Low, f.High, why)
			}
		})
	}
}

// Plain water under a known pressure is no syrup, however long it boils.
func TestWaterHasNoLine(t *testing.T) {
	e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure})
	for i := range 300 {
		e.observe(clock(float64(i)), probe.Celsius(99.97+0.05*math.Sin(float64(i))).Rounded())
	}
	if f, why := e.forecast(clock(300)); f.Ok() {
		t.Errorf("plain water got a forecast of %v (%q)", f.ETA, why)
	}
}

// When readings stop, the forecast runs on by the clock and says that it is a
// guess.
func TestForecastRunsOnThroughSilence(t *testing.T) {
	s := newStove(potAt(106, syrup.StandardPressure, 0.04, steady(workedHeat)), 9)
	e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure})
	s.run(&e, 120, nil)
	before, _ := e.forecast(clock(120))
	e.gap(clock(121))
	after, _ := e.forecast(clock(150))
	if d := before.ETA - after.ETA - 30*time.Second; !after.Ok() || !after.Guess || d.Abs() > 3*time.Second {
		t.Errorf("after 30 s of silence %v (guess %v), before it %v", after.ETA, after.Guess, before.ETA)
	}
}

// The forecast is for the pot, not for what a slow probe will show.
func TestForecastIsForThePotNotTheProbe(t *testing.T) {
	const lag = 8.0
	pot := potAt(106, syrup.StandardPressure, 0.04, steady(workedHeat))
	e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure, Lag: clock(lag)})
	shown := pot.temperature()
	s := newStove(pot, 2)
	var late []float64
	for i := 1; pot.left(float64(endpoint)) > 20; i++ {
		pot.advance(float64(i))
		shown += (pot.temperature() - shown) * (1 - math.Exp(-1/lag))
		e.observe(clock(pot.t), probe.Celsius(shown+0.03*s.rng.NormFloat64()).Rounded())
		if f, _ := e.forecast(clock(pot.t)); f.Ok() && pot.left(float64(endpoint)) < 60 {
			late = append(late, f.ETA.Seconds()-pot.left(float64(endpoint)))
		}
	}
	slices.Sort(late)
	if median := late[len(late)/2]; math.Abs(median) > 3 {
		t.Errorf("over the last minute the forecast is %.1f s late at the median; the probe's lag is %v s", median, lag)
	}
	if now, _ := e.now(); math.Abs(float64(now)-pot.temperature()) > 0.1 {
		t.Errorf("the pot stands at %.2f °C, now() says %.2f, the probe shows %.2f", pot.temperature(), now, shown)
	}
}

// A spoon that folds the cool rim round the tip must not move the forecast.
func TestStirringDipsAreLeftOut(t *testing.T) {
	pot := potAt(105, syrup.StandardPressure, 0.04, steady(workedHeat))
	s := newStove(pot, 12)
	e := begun(Config{Target: endpoint, Pressure: syrup.StandardPressure})
	var errs []float64
	for i := 1; i < 400; i++ {
		pot.advance(float64(i))
		dip := 0.0
		if phase := float64(i%50) - 20; phase > 0 && phase < 8 {
			dip = 1.5 * math.Sin(math.Pi*phase/8)
		}
		e.observe(clock(pot.t), probe.Celsius(pot.temperature()-dip+0.05*s.rng.NormFloat64()).Rounded())
		truth := pot.left(float64(endpoint))
		if f, _ := e.forecast(clock(pot.t)); f.Ok() && i > 120 && truth > 10 {
			errs = append(errs, math.Abs(f.ETA.Seconds()-truth)/truth)
		}
	}
	slices.Sort(errs)
	if median, worst := errs[len(errs)/2], errs[len(errs)*95/100]; median > 0.1 || worst > 0.3 {
		t.Errorf("median error %.3f, 95th %.3f", median, worst)
	}
}

// The short normal distribution function against the library's.
func TestNormalAgainstErfc(t *testing.T) {
	for x := -8.0; x <= 8; x += 0.01 {
		below, _ := normal(x)
		if want := math.Erfc(-x/math.Sqrt2) / 2; math.Abs(below-want) > 7.5e-8 {
			t.Fatalf("normal(%v) = %v, want %v", x, below, want)
		}
	}
}

// A single hypothesis that is sure of everything must arrive when the line
// does, and its quantiles must be those of the ratio of two normals.
func TestQuantiles(t *testing.T) {
	sure := []way{{share: 1, d: 6, k: 0.012, dd: 1e-8, kk: 1e-14}}
	for _, p := range []float64{0.1, 0.5, 0.9} {
		if at := quantile(sure, p, 100); math.Abs(at-500) > 1 {
			t.Errorf("p %v: %v s, want 500", p, at)
		}
	}
	loose := []way{{share: 1, d: 6, k: 0.012, dd: 0.09, dk: 3e-4, kk: 4e-6}}
	for _, p := range []float64{0.1, 0.5, 0.9} {
		at := quantile(loose, p, 40)
		if got, _ := arrived(loose, at); math.Abs(got-p) > 2e-3 {
			t.Errorf("p %v: arrived(%v) = %v", p, at, got)
		}
	}
	never := []way{{share: 1, d: 6, k: -0.01, dd: 0.01, kk: 1e-10}}
	if p, _ := arrived(never, horizonS); p > 1e-6 {
		t.Errorf("a pot that cools arrives with probability %v", p)
	}
}

// An answer stands for as long as the readings leave it about as likely to be
// early as late, and moves no further than it must.
func TestHold(t *testing.T) {
	list := []way{{share: 1, d: 6, k: 0.012, dd: 0.09, dk: 3e-4, kk: 4e-6}}
	middle := quantile(list, 0.5, 400)
	for _, c := range []struct{ last, least, most float64 }{
		{0, middle - 1, middle + 1},
		{middle - 5, middle - 5, middle - 5},
		{middle + 5, middle + 5, middle + 5},
		{middle / 2, middle / 2, middle - 5},
		{middle * 2, middle + 5, middle * 2},
	} {
		at := hold(list, 0.5, 0.06, c.last)
		if at < c.least || at > c.most {
			t.Errorf("last %v: %v, want between %v and %v", c.last, at, c.least, c.most)
		}
		if got, _ := arrived(list, at); math.Abs(got-0.5) > 0.062 {
			t.Errorf("last %v: arrived(%v) = %v", c.last, at, got)
		}
	}
}

// A spoon stirs the cool rim in, and the probe's way back from it is steeper
// than any climb: the forecast goes on as if nothing had happened.
func TestDipLeavesForecastAlone(t *testing.T) {
	const target, lag, depth = 113.0, 3.0, 1.6
	pot := potAt(104.5, syrup.StandardPressure, 0.04, steady(0.6))
	s := newStove(pot, 5)
	s.hz, s.noise = 4, 0.03
	e := newEstimator(Config{Target: target, Pressure: syrup.StandardPressure, Lag: lag * time.Second})
	e.boilBegan(0)
	shown, last, lastAt := pot.c, 0.0, 0.0
	for pot.left(target) > 60 {
		pot.advance(pot.t + 1/s.hz)
		around := pot.temperature()
		if in := math.Mod(pot.t, 100) - 80; in > 0 && in < 8 && pot.t > 180 {
			around -= depth * math.Sin(math.Pi*in/8)
		}
		shown += (around - shown) * -math.Expm1(-1/s.hz/lag)
		e.observe(clock(pot.t), probe.Celsius(shown+s.noise*s.rng.NormFloat64()).Rounded())
		f, why := e.forecast(clock(pot.t))
		if pot.t < 150 {
			continue
		}
		if why != WhyNot {
			t.Fatalf("at %.1f s no forecast: %v", pot.t, why)
		}
		if moved := f.ETA.Seconds() - last + pot.t - lastAt; last > 0 && math.Abs(moved) > 0.15*pot.left(target) {
			t.Errorf("at %.1f s the forecast moves by %.0f s with %.0f s left", pot.t, moved, pot.left(target))
		}
		last, lastAt = f.ETA.Seconds(), pot.t
	}
}

// The readings of a dip that was seen for one are held back, and the first ones
// after it stand below the line still: they are the probe on its way back, and
// say nothing of the heat.
func TestTailOfDipIsLeftOut(t *testing.T) {
	const target, lag = 113.0, 3.0
	pot := potAt(106, syrup.StandardPressure, 0.04, steady(0.7))
	s := newStove(pot, 3)
	s.noise = 0.1
	e := newEstimator(Config{Target: target, Pressure: syrup.StandardPressure, Lag: lag * time.Second})
	e.boilBegan(0)
	s.run(&e, 150, nil)
	before, _ := e.line.heat()
	pot.advance(153)
	for i := range 8 {
		pot.advance(153 + float64(i))
		tail := 0.22 * math.Exp(-float64(i)/lag)
		e.observe(clock(pot.t), probe.Celsius(pot.temperature()-tail).Rounded())
	}
	after, _ := e.line.heat()
	if math.Abs(after/before-1) > 0.01 {
		t.Errorf("the heat goes from %.3g to %.3g over the end of a dip", before, after)
	}
}

// A probe that is read every five seconds misses nothing by it.
func TestSeldomReadProbeMissesNothing(t *testing.T) {
	pot := potAt(105, syrup.StandardPressure, 0.04, steady(0.7))
	s := newStove(pot, 3)
	s.hz = 0.2
	e := newEstimator(Config{Target: 113, Pressure: syrup.StandardPressure, Lag: 6 * time.Second})
	e.boilBegan(0)
	s.run(&e, 240, nil)
	left := 0
	for i := range e.ring.n {
		if e.ring.at(i).stray {
			left++
		}
	}
	if left > e.ring.n/20 {
		t.Errorf("%d of %d points are left out", left, e.ring.n)
	}
}
