package probe

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// series makes readings of f, as a probe with the given step shows them.
func series(every time.Duration, n int, step float64, f func(t float64) float64) (all []Reading) {
	for i := range n {
		at := time.Duration(i) * every
		all = append(all, Reading{At: at, C: Celsius(math.Round(f(at.Seconds())/step) * step)})
	}
	return all
}

// plunged is the answer of a first-order lag to a plunge at 3 s.
func plunged(lag float64) func(float64) float64 {
	return func(t float64) float64 {
		if t < 3 {
			return 21
		}
		return 99 - 78*math.Exp(-(t-3)/lag)
	}
}

func TestJudge_lag(t *testing.T) {
	for _, lag := range []float64{1, 3, 8, 20} {
		q := Judge(nil, series(250*time.Millisecond, 40+int(32*lag), 0.1, plunged(lag)))
		if got := q.Lag.Seconds(); math.Abs(got-lag) > 0.05*lag+0.05 {
			t.Errorf("lag %v s measured as %v", lag, got)
		}
	}
	for name, s := range map[string][]Reading{
		"no plunge":   series(time.Second, 60, 0.1, func(float64) float64 { return 99 }),
		"small":       series(time.Second, 60, 0.1, func(t float64) float64 { return 90 + t/10 }),
		"cooling":     series(time.Second, 60, 0.1, func(t float64) float64 { return 99 - t }),
		"too few":     series(time.Second, 5, 0.1, plunged(1)),
		"no readings": nil,
	} {
		if q := Judge(nil, s); q.Lag != 0 {
			t.Errorf("%s: lag %v", name, q.Lag)
		}
	}
}

func TestJudge_steady(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	q := Judge(series(500*time.Millisecond, 2000, 0.001, func(t float64) float64 { return 99 + t/1000 + 0.2*rng.NormFloat64() }), nil)
	if q.Interval != 500*time.Millisecond || q.Readings != 2000 || q.Faults != 0 {
		t.Errorf("%+v", q)
	}
	if math.Abs(float64(q.Noise)-0.2) > 0.01 { // 2000 readings: ±0.004
		t.Errorf("noise %v, want 0.2 in spite of the drift", q.Noise)
	}
	if q := Judge(series(time.Second, 60, 0.25, func(t float64) float64 { return 95 + t/20 }), nil); q.Step != 0.25 {
		t.Errorf("step %v, want 0.25", q.Step)
	}
}

func TestQuality_Verdict(t *testing.T) {
	fine := Quality{Readings: 200, Interval: 250 * time.Millisecond, Step: 0.1, Noise: 0.1, Lag: 3 * time.Second}
	for _, row := range []struct {
		name   string
		change func(*Quality)
		want   string
	}{
		{"fine", func(*Quality) {}, ""},
		{"lag not told", func(q *Quality) { q.Lag = 0 }, ""},
		{"a fault now and then", func(q *Quality) { q.Faults = 5 }, ""},
		{"many faults", func(q *Quality) { q.Faults = 40 }, "20 of 100 readings are faulty"},
		{"slow to follow", func(q *Quality) { q.Lag = 20 * time.Second }, "only after 20 s"},
		{"seldom", func(q *Quality) { q.Interval = 5 * time.Second }, "every 5.0 s"},
		{"noisy", func(q *Quality) { q.Noise = DeltaF(1) }, "jump by 2.0 °F"},
		{"whole degrees Celsius", func(q *Quality) { q.Step = 1 }, "steps of 1.8 °F"},
		{"hardly any", func(q *Quality) { q.Readings = 5 }, "too few"},
	} {
		q := fine
		row.change(&q)
		good, why := q.Verdict(UnitF)
		if good != (row.want == "") || !strings.Contains(strings.Join(why, "; "), row.want) {
			t.Errorf("%s: %v, %q; want %q", row.name, good, why, row.want)
		}
	}
	if fine.NeedsLag() || !(Quality{Lag: 8 * time.Second}).NeedsLag() {
		t.Error("NeedsLag")
	}
}
