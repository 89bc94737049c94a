package probe

import (
	"math"
	"testing"
)

// A temperature that a person typed is finite or refused.
func FuzzTemp(f *testing.F) {
	for _, s := range []string{"235F", "112.8 °C", "-5", "1e308F", "nanC", "infF", "0x1p4C", "", "°F", "235 F F"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if c, err := ParseTemp(s); err == nil && (math.IsNaN(float64(c)) || math.IsInf(float64(c), 0)) {
			t.Errorf("%q is %v", s, c)
		}
		if d, err := ParseDelta(s); err == nil && (math.IsNaN(float64(d)) || math.IsInf(float64(d), 0)) {
			t.Errorf("the difference %q is %v", s, d)
		}
	})
}
