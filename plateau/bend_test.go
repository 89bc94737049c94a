package plateau

import (
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// warmingPot is a pot with its last cream in, as a first-order probe shows it. It
// warms from 98 °C and its climb drops at each bend. All in it is invented.
type warmingPot struct {
	name             string
	slope            float64                 // °C/s
	bends            [][2]float64            // s after the last cream, share of the slope from then on
	lag, noise, step float64                 // s, K, K
	every            time.Duration           // from one reading to the next
	stir             func(t float64) float64 // K by which a spoon cools the tip
	boils            float64                 // s after the last cream; 0 for never
}

// stall returns how long after the last cream the fold sees the pot boil, s;
// NaN when it does not within three minutes.
func (w warmingPot) stall(seed uint64) float64 {
	const creamEnd = 30.0
	s := Start(Config{Target: probe.Fahrenheit(235), Pressure: syrup.StandardPressure, Lag: span(w.lag)})
	s, _ = Step(s, Input{Kind: Marked, Mark: MarkCreamStart})
	rnd := rand.New(rand.NewPCG(seed, 1))
	c, shown := 98.0, 98.0
	const dt = 0.05
	next := time.Duration(0)
	for t := 0.0; t < creamEnd+180; t += dt {
		slope := 0.0
		if since := t - creamEnd; since >= 0 {
			slope = w.slope
			for _, b := range w.bends {
				if since >= b[0] {
					slope = b[1] * w.slope
				}
			}
			c += slope * dt
		}
		around := c
		if w.stir != nil {
			around -= w.stir(t - creamEnd)
		}
		shown += (around - shown) * (1 - math.Exp(-dt/w.lag))
		at := time.Duration(t * float64(time.Second)).Round(time.Millisecond)
		if math.Abs(t-creamEnd) < dt/2 {
			s, _ = Step(s, Input{Kind: Marked, Mark: MarkCreamEnd, At: at})
		}
		if at < next {
			continue
		}
		next += w.every
		v := math.Round((shown+w.noise*rnd.NormFloat64())/w.step) * w.step
		var a Advice
		if s, a = Step(s, Input{At: at, C: probe.Celsius(v)}); a.Phase == Stall {
			return t - creamEnd
		}
	}
	return math.NaN()
}

func TestBend_boil(t *testing.T) {
	const second = time.Second
	dip := func(t float64) float64 {
		if t < 70 || t > 78 {
			return 0
		}
		return 1.5 * math.Sin(math.Pi*(t-70)/8)
	}
	for _, w := range []warmingPot{
		{name: "fine", slope: 0.06, bends: [][2]float64{{80, 0.02}}, lag: 3, noise: 0.05, step: 0.1, every: second, boils: 80},
		{name: "noisy", slope: 0.06, bends: [][2]float64{{80, 0.02}}, lag: 3, noise: 0.2, step: 0.1, every: second / 4, boils: 80},
		{name: "slow probe", slope: 0.06, bends: [][2]float64{{80, 0.02}}, lag: 9, noise: 0.05, step: 0.1, every: second, boils: 80},
		{name: "half degrees", slope: 0.06, bends: [][2]float64{{80, 0.02}}, lag: 3, noise: 0.05, step: 0.5, every: second, boils: 80},
		{name: "simmers first", slope: 0.09, bends: [][2]float64{{40, 0.6}, {60, 0.4}, {90, 0.02}}, lag: 3, noise: 0.05, step: 0.1, every: second, boils: 90},
		{name: "only simmers", slope: 0.09, bends: [][2]float64{{60, 0.7}, {70, 0.45}}, lag: 3, noise: 0.05, step: 0.1, every: second},
		{name: "stirred while it warms", slope: 0.05, lag: 3, noise: 0.05, step: 0.1, every: second, stir: dip},
	} {
		t.Run(w.name, func(t *testing.T) {
			const pots, mayErr = 10, 1 // the verdict is a probability
			var wrong []float64
			for seed := range uint64(pots) {
				got := w.stall(seed)
				if w.boils == 0 && !math.IsNaN(got) || w.boils > 0 && !(got >= w.boils-15 && got <= w.boils+30) {
					wrong = append(wrong, got)
				}
			}
			if len(wrong) > mayErr {
				t.Errorf("the boil at %.0f s (0: none) is seen after %.0f s in %d of %d pots", w.boils, wrong, len(wrong), pots)
			}
		})
	}
}

// What a probe shows of a ramp is the closed form of its first-order lag.
func TestReach_ramp(t *testing.T) {
	r := reach{lag: 4}
	shown := 0.0
	const dt = 1e-3
	for at := 0.0; at < 20; at += dt {
		shown += (at - shown) * dt / r.lag
	}
	if got := r.ramp(20); math.Abs(got-shown) > 2e-3 {
		t.Errorf("ramp(20) = %.4f, integrated %.4f", got, shown)
	}
}

// The integral over the level of two edges blurred by σ, by the midpoint rule.
func TestShape_boxes(t *testing.T) {
	phi := func(x float64) float64 { return math.Erfc(-x/math.Sqrt2) / 2 }
	for _, apart := range []float64{0, 0.4, 1.3} { // K from one reading to the next, at steps of 1 K
		r := reach{n: 2, soft: 0.1}
		r.c, r.half = [recentS]float64{0, apart}, [recentS]float64{0.5, 0.5}
		lo, hi := apart-0.5, 0.5
		want, dl := 0.0, 1e-4
		for l := -2.0; l < 3; l += dl {
			want += phi((l-lo)/r.soft) * phi((hi-l)/r.soft) * dl
		}
		var b shape
		if got := math.Exp(b.boxes(&r, 0, 0)) * r.soft * math.Sqrt2; math.Abs(got-want) > 0.02*want {
			t.Errorf("%.1f K apart: %.4g, want %.4g", apart, got, want)
		}
	}
}

// While the tip is stirred nothing is seen of the pot: what was held of it
// stands, and the time for which it has been held.
func TestBend_stirred(t *testing.T) {
	pot := func(dip bool) (k, before bend) {
		s := Start(Config{Target: probe.Fahrenheit(235), Pressure: syrup.StandardPressure, Lag: time.Second})
		s, _ = Step(s, Input{Kind: Marked, Mark: MarkCreamEnd})
		for sec := 1; sec <= 60; sec++ {
			before = s.bend
			c := min(98+0.1*float64(sec), 103) + 0.02*float64(sec%3)
			if dip && sec == 60 {
				c -= 2
			}
			s.cook.phase = Cream
			s, _ = Step(s, Input{At: time.Duration(sec) * time.Second, C: probe.Celsius(c)})
		}
		return s.bend, before
	}
	if still, _ := pot(false); still.p < 0.9 {
		t.Fatalf("the pot boils by %v", still.p)
	}
	k, before := pot(true)
	if k.p != before.p || k.since != before.since+time.Second {
		t.Errorf("stirred, it boils by %v for %v, and by %v for %v a second before", k.p, 60*time.Second-k.since, before.p, 59*time.Second-before.since)
	}
}

// A probe that comes up from a stirred-in spot bends as if the pot boiled.
func TestBend_comesUp(t *testing.T) {
	s := Start(Config{Target: probe.Fahrenheit(235), Pressure: syrup.StandardPressure})
	s.melt.now = 104
	var k bend
	const warms = 0.04 // °C/s
	r := reach{lag: 5, rest: true, variance: 0.002, n: 25, span: 24, now: 24}
	for i := range r.n {
		r.t[i] = float64(i)
		r.fade[i] = math.Exp(-r.t[i] / r.lag)
		r.c[i] = 1.2*(1-r.fade[i]) + warms*(r.t[i]-r.lag*(1-r.fade[i]))
	}
	if k.weigh(&s, &r); k.p > 0.5 {
		t.Errorf("a pot that warms by %v °C/s boils by %v", warms, k.p)
	}
}
