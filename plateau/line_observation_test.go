package plateau

import (
	"math"
	"testing"
)

// The moments of a truncated Gaussian, by adding up the density in small steps.
func integrated(predicted, s float64, o observation) (mean, variance, logL float64) {
	const steps = 200000
	lo, hi := o.mean-o.half, o.mean+o.half
	var p, m1, m2 float64
	for i := range steps {
		x := lo + (hi-lo)*(float64(i)+0.5)/steps
		w := gauss(x-predicted, math.Sqrt(s)) * (hi - lo) / steps
		p += w
		m1 += w * (x - predicted)
		m2 += w * (x - predicted) * (x - predicted)
	}
	m1, m2 = m1/p, m2/p
	return m1, m2 - m1*m1, math.Log(p)
}

func TestIntervalUpdateAgainstIntegration(t *testing.T) {
	for _, row := range []struct{ predicted, s, mean, half float64 }{
		{104.0, 0.04, 104.1, 0.25}, {104.3, 0.01, 104.0, 0.25}, {104.3, 0.04, 104.0, 0.25},
		{103.6, 0.09, 104.0, 0.28}, {104.0, 1, 104.0, 0.5}, {105.0, 0.09, 104.0, 0.5},
	} {
		o := observation{mean: row.mean, half: row.half}
		move, shrink, logL := o.update(row.predicted, row.s)
		mean, variance, want := integrated(row.predicted, row.s, o)
		if math.Abs(move-mean) > 1e-5 || math.Abs(row.s-shrink-variance) > 1e-5 || math.Abs(logL-want) > 1e-5 {
			t.Errorf("%+v: moved %.6f, left %.6f, log %.5f; integrated %.6f %.6f %.5f",
				row, move, row.s-shrink, logL, mean, variance, want)
		}
	}
}

// A plain mean is the Kalman filter's until it is clipped.
func TestPlainUpdate(t *testing.T) {
	o := observation{mean: 104.2}
	move, shrink, logL := o.update(104, 0.01)
	if math.Abs(move-0.2) > 1e-12 || shrink != 0.01 || math.Abs(logL-(-2-math.Log(0.1))) > 1e-9 {
		t.Errorf("two sd off: moved %v, shrank %v, log %v", move, shrink, logL)
	}
	if move, _, _ := o.update(100, 0.01); math.Abs(move-clipSD*0.1) > 1e-12 {
		t.Errorf("42 sd off: moved %v, want the clip's %v", move, clipSD*0.1)
	}
}

// Nothing, however far off, may bring a NaN into the state.
func TestUpdateStaysFinite(t *testing.T) {
	for _, half := range []float64{0, 0.05, 0.5} {
		for r := -300.0; r <= 300; r += 0.37 {
			for _, s := range []float64{1e-6, 1e-3, 1, 100} {
				move, shrink, logL := observation{mean: 104 + r, half: half}.update(104, s)
				if math.IsNaN(move+shrink+logL) || math.IsInf(move+shrink+logL, 0) || shrink < 0 || shrink > s*1.0000001 {
					t.Fatalf("r %v, half %v, s %v: %v %v %v", r, half, s, move, shrink, logL)
				}
			}
		}
	}
}
