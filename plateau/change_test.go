package plateau

import (
	"math"
	"math/rand/v2"
	"testing"
)

// runLength returns the mean and standard error of the time to the first
// crossing of h, on either side, by residuals of the given mean.
func runLength(rng *rand.Rand, shift, h float64, runs int) (mean, se float64) {
	var sum, squares float64
	for range runs {
		var s cusum
		n := 0.0
		for s.up <= h && s.down <= h {
			n++
			s.add(n, shift+rng.NormFloat64())
		}
		sum += n
		squares += n * n
	}
	mean = sum / float64(runs)
	return mean, math.Sqrt((squares/float64(runs) - mean*mean) / float64(runs))
}

// Two-sided average run lengths for k = ½, as in R's spc::xcusum.arl and
// Montgomery's table. Runs are random with a fixed seed; four standard errors
// and the tables' own rounding are allowed.
func TestCusumRunLengths(t *testing.T) {
	if cusumAllowance != 0.5 {
		t.Fatalf("the table is for k = ½, the program uses %v", cusumAllowance)
	}
	rng := rand.New(rand.NewPCG(3, 14))
	for _, row := range []struct{ h, shift, arl float64 }{
		{4, 0, 167.7}, {4, 0.5, 26.6}, {4, 1, 8.38}, {4, 2, 3.34}, {4, 3, 2.19},
		{5, 0, 465.4}, {5, 0.25, 139.5}, {5, 0.5, 38.0}, {5, 1, 10.4}, {5, 1.5, 5.75}, {5, 4, 2.01},
	} {
		mean, se := runLength(rng, row.shift, row.h, 4000)
		if math.Abs(mean-row.arl) > 4*se+0.05 {
			t.Errorf("h %v, shift %v: mean run length %.2f ± %.2f, table %.2f", row.h, row.shift, mean, se, row.arl)
		}
		if back, _ := runLength(rng, -row.shift, row.h, 1000); math.Abs(back-mean) > 6*se+0.1*mean {
			t.Errorf("h %v, shift %v: the two sides differ: %.2f and %.2f", row.h, row.shift, mean, back)
		}
	}
}

// The sum's last zero is the estimate of when the change happened.
func TestCusumDatesTheChange(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 8))
	var off []float64
	for range 400 {
		var s cusum
		for i := 1.0; ; i++ {
			z := rng.NormFloat64()
			if i > 60 {
				z--
			}
			if dir, since := s.add(i, z); dir != 0 {
				if dir > 0 && i > 60 {
					t.Fatalf("alarm upwards at %v", i)
				}
				if i > 60 {
					off = append(off, since-60)
				}
				break
			}
		}
	}
	mean := 0.0
	for _, v := range off {
		mean += v / float64(len(off))
	}
	if len(off) < 300 || math.Abs(mean) > 4 {
		t.Errorf("%d of 400 changes found, dated %.1f s late on average", len(off), mean)
	}
}

func TestChangesStayInOrder(t *testing.T) {
	var s changes
	for _, at := range []float64{50, 20, 90, 20, 70, 10, 60, 5} {
		s.insert(change{at: at})
	}
	if s.n != len(s.c) {
		t.Fatalf("%d changes kept, want %d", s.n, len(s.c))
	}
	for i := 1; i < s.n; i++ {
		if s.c[i].at < s.c[i-1].at {
			t.Fatalf("out of order: %+v", s.c[:s.n])
		}
	}
	s.before(20)
	if s.n == 0 || s.c[0].at <= 20 || s.c[s.n] != (change{}) {
		t.Errorf("after dropping up to 20: %+v", s)
	}
}
