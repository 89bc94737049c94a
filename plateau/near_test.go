package plateau

import (
	"testing"
	"time"
)

// The cook is called when the pull is half a minute off and a little more, and
// sooner where the forecast may well be too late.
func TestNears(t *testing.T) {
	s := Start(Config{Target: 112, Reaction: 2 * time.Second})
	for _, c := range []struct {
		low, eta float64 // s
		want     bool
	}{
		{38, 42, true},  // 40 s to the pull
		{42, 46, false}, // 44 s
		{33, 60, true},  // as likely as one in ten in 31 s
		{40, 60, false},
	} {
		f := Forecast{Low: seconds(c.low), ETA: seconds(c.eta), High: seconds(2 * c.eta)}
		if got := s.nears(f); got != c.want {
			t.Errorf("%v s, at the earliest %v s: %v, want %v", c.eta, c.low, got, c.want)
		}
	}
}

// Known pressure, fine steps and quiet readings are a careful cook's: the curve
// is doubted less than where the readings must tell the pressure too.
func TestCurveIsDoubtedByWhatIsTold(t *testing.T) {
	told, open := newEstimator(Config{Target: 112.8, Pressure: 101325}), newEstimator(Config{Target: 112.8})
	for i := range 60 {
		at := time.Duration(i) * time.Second
		told.observe(at, 104)
		open.observe(at, 104)
	}
	if a, b := told.model().shape, open.model().shape; a != shapeShare || b != shapeOpen {
		t.Errorf("the curve is doubted by %v where the pressure was told and by %v where not", a, b)
	}
}
