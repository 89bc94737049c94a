package plateau

import (
	"math"
	"math/rand/v2"
	"testing"
)

// norris is NIST StRD's linear regression data set Norris (36 points, y then x).
var norris = [...][2]float64{
	{.1, .2}, {338.8, 337.4}, {118.1, 118.2}, {888, 884.6}, {9.2, 10.1}, {228.1, 226.5},
	{668.5, 666.3}, {998.5, 996.3}, {449.1, 448.6}, {778.9, 777}, {559.2, 558.2}, {.3, .4},
	{.1, .6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338}, {448.9, 447.5}, {10.8, 11.6},
	{557.7, 556}, {228.3, 228.1}, {998, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {.3, .3},
	{.6, .3}, {557.6, 556.8}, {339.3, 339.1}, {888, 887.2}, {998.5, 999}, {778.9, 779},
	{10.2, 11.1}, {117.6, 118.3}, {228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {.2, .5},
}

// The certified values of NIST StRD Norris: typed from memory, and exact
// rational least squares on the data above reproduces every digit.
const (
	norrisB0, norrisB0SE = -0.262323073774029, 0.232818234301152
	norrisB1, norrisB1SE = 1.00211681802045, 0.429796848199937e-3
	norrisResidual       = 0.884796396144373
)

func TestLeastSquaresAgainstNorris(t *testing.T) {
	var s leastSquares
	at := 0.0
	for i, p := range norris {
		// Moving the origin on the way must change nothing.
		if i%5 == 4 {
			s.shift(3)
			at += 3
		}
		s.add(p[1]-at, p[0], 1)
	}
	s.shift(-at)
	f, ok := s.fit()
	if !ok {
		t.Fatal("no fit")
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"b0", f.level, norrisB0}, {"se b0", f.levelSE, norrisB0SE},
		{"b1", f.slope, norrisB1}, {"se b1", f.slopeSE, norrisB1SE},
		{"residual sd", f.residual, norrisResidual},
	} {
		if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want)+1e-10 {
			t.Errorf("%s = %.15g, certified %.15g", c.name, c.got, c.want)
		}
	}
}

// Fading weights make the fit a fading-memory filter, whose steady state is the
// α–β filter with α = 1 − λ² and β = (1 − λ)² (critically damped: the roots of
// z² − (2−α−β)z + (1−α) coincide at λ). The two are run side by side on noise.
func TestFadingLeastSquaresIsAlphaBeta(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for _, lambda := range []float64{0.6, 0.86, 0.95} {
		alpha, beta := 1-lambda*lambda, (1-lambda)*(1-lambda)
		var s leastSquares
		var level, slope float64
		for i := range 4000 {
			y := 100 + 0.01*float64(i) + rng.NormFloat64()
			s.shift(1)
			s.discount(lambda)
			s.add(0, y, 1)
			ahead := level + slope
			level, slope = ahead+alpha*(y-ahead), slope+beta*(y-ahead)
		}
		f, ok := s.fit()
		if !ok || math.Abs(f.level-level) > 1e-8 || math.Abs(f.slope-slope) > 1e-9 {
			t.Errorf("λ = %v: fit %.9f %.9f, α–β filter %.9f %.9f", lambda, f.level, f.slope, level, slope)
		}
	}
}

// A ramp without noise must be measured exactly, and a change of slope be taken
// up within the quick line's memory.
func TestSlopeMeter(t *testing.T) {
	var m slopeMeter
	y := 104.0
	for i := range 240 {
		rate := 0.005
		if i > 200 {
			rate = 0.05
		}
		y += rate
		m.add(float64(i), y)
		if f, ok := m.fit(); i == 200 && (!ok || math.Abs(f.slope-0.005) > 1e-9 || math.Abs(f.level-y) > 1e-6) {
			t.Fatalf("ramp: %+v, want slope 0.005 at %.3f", f, y)
		}
	}
	if f, ok := m.fit(); !ok || math.Abs(f.slope-0.05) > 0.004 {
		t.Errorf("after the change: %+v, want slope 0.05", f)
	}
}
