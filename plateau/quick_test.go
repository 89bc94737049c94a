package plateau

import (
	"math"
	"testing"
)

// The quick functions against the library's, over all that the line asks for
// and out into the corners.
func TestQuickAgainstTheLibrary(t *testing.T) {
	for x := -60.0; x <= 60; x += 0.000917 {
		if got, want := exp(x), math.Exp(x); math.Abs(got-want) > 5e-16*want {
			t.Fatalf("exp(%v) = %v, the library says %v", x, got, want)
		}
		y := math.Exp2(x) // 1e-18 to 1e18
		if got, want := log(y), math.Log(y); math.Abs(got-want) > 5e-16*max(math.Abs(want), 1) {
			t.Fatalf("log(%v) = %v, the library says %v", y, got, want)
		}
	}
	same := func(got, want float64) bool {
		return got == want || got != got && want != want || math.Abs(got-want) <= 5e-16*max(math.Abs(want), 1)
	}
	for _, x := range []float64{0, 1, -1, 5e-324, 1e-308, 1e308, -720, 720, math.Inf(1), math.Inf(-1), math.NaN()} {
		if got, want := exp(x), math.Exp(x); !same(got, want) {
			t.Errorf("exp(%v) = %v, the library says %v", x, got, want)
		}
		if got, want := log(x), math.Log(x); !same(got, want) {
			t.Errorf("log(%v) = %v, the library says %v", x, got, want)
		}
	}
}
