package main

import (
	"math"
	"testing"
	"time"

	"boildown/probe/pot"
)

// bentOutcome is a pot that climbs for 100 s and boils from then on, read once
// a second without noise by a probe of this step and lag.
func bentOutcome(step float64, lag time.Duration) outcome {
	h := pot.Hard{Config: pot.DefaultConfig()}
	h.Config.Probe = pot.ProbeConfig{Every: time.Second, Lag: lag, Noise: 0.02, Step: step}
	o := outcome{h: h, boils: 100, creamEnd: 0}
	for at := 0.0; at < 300; at++ {
		o.rows = append(o.rows, row{at: at, ok: true, trueC: 98 + 0.06*min(at, 100) + 0.001*max(at-100, 0)})
	}
	for i, c := range lagged(o.rows, lag.Seconds()) {
		o.rows[i].c = math.Round(c/step) * step
	}
	return o
}

// The limit waits for what the probe can show, and no longer: a fine one shows
// the bend as soon as the courses part by its noise, a slow one a lag later, a
// coarse one when the next step is overdue.
func TestOnsetLimit(t *testing.T) {
	fine, slow := onsetLimit(bentOutcome(0.05, time.Second)), onsetLimit(bentOutcome(0.05, 10*time.Second))
	coarse := onsetLimit(bentOutcome(2, time.Second))
	if !(fine > 0 && fine < 8) {
		t.Errorf("fine probe: %.0f s, want under 8", fine)
	}
	if !(slow > fine && slow < fine+15) {
		t.Errorf("slow probe: %.0f s, want up to 15 after the fine one's %.0f", slow, fine)
	}
	if !(coarse > fine+5) {
		t.Errorf("steps of 2 K: %.0f s, want long after the fine probe's %.0f", coarse, fine)
	}
}

// The share of a normal distribution in a step: Φ(1) − Φ(0) = 0.3413447 (any
// table of the normal distribution).
func TestLikely(t *testing.T) {
	if got := math.Exp(likely(0.5, 0, 1, 1)); math.Abs(got-0.3413447) > 1e-6 {
		t.Errorf("share of the step from 0 to 1 σ: %.7f, want 0.3413447", got)
	}
}
