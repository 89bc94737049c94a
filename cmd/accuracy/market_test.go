package main

import (
	"math"
	"testing"
	"time"

	"boildown/syrup"
)

// One whole batch, live, as a person would cook it: the stall is seen, the
// forecast is right while the pot stands still, the pull lands. The bounds are
// what a cook needs: 15 % of the time left, and 1 °F.
func TestMarketBatchIsForecastAndPulled(t *testing.T) {
	for _, c := range []struct {
		curve syrup.Curve
		cycle time.Duration
		most  float64 // median error allowed; a foreign curve shifts the stall itself
	}{
		{syrup.StarzakPeacock, 0, 0.15},
		{syrup.StarzakPeacock, 25 * time.Second, 0.15},
		{syrup.Norrish, 25 * time.Second, 0.25},
		{syrup.CaneSugar, 25 * time.Second, 0.25},
	} {
		f := marketBatch(market(c.curve, c.cycle))
		if f.stallDelay > 30 {
			t.Errorf("%v, cycle %v: the stall is seen after %.0f s", c.curve, c.cycle, f.stallDelay)
		}
		if f.answered < 0.95 || !(f.typical <= c.most) {
			t.Errorf("%v, cycle %v: %.0f %% answered, %.0f %% off", c.curve, c.cycle, 100*f.answered, 100*f.typical)
		}
		if !(math.Abs(f.pullF) <= 1) || !(math.Abs(f.peakF) <= 1) {
			t.Errorf("%v, cycle %v: pulled at %+.2f °F, peak at %+.2f °F", c.curve, c.cycle, f.pullF, f.peakF)
		}
	}
}
