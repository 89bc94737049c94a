package sessions

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"boildown/probe"
	"boildown/syrup"
)

// Trial is one judged batch: how hot it got and how it turned out.
type Trial struct {
	Name    string
	SeaC    probe.Celsius // the peak as it would have been at standard pressure, for the same water content
	Texture int           // 1 runny to 7 shatters
	Assumed bool          // the pressure was not known and standard pressure was assumed
}

// TrialsOf returns the judged batches of a recipe. Damaged ones count: a peak
// and an outcome are all that is needed.
func TrialsOf(entries []Entry, recipe string) []Trial {
	var out []Trial
	for _, e := range entries {
		if e.Recipe != recipe || e.Peak == 0 || e.Label.Outcome.Texture == 0 {
			continue
		}
		t := Trial{Name: e.Name, Texture: e.Label.Outcome.Texture, Assumed: e.Pressure == 0}
		t.SeaC = seaLevel(e.Peak, e.Pressure)
		out = append(out, t)
	}
	return out
}

// seaLevel returns where the syrup that boils at c under a pressure boils at
// standard pressure.
func seaLevel(c probe.Celsius, pPa float64) probe.Celsius {
	if pPa == 0 || float64(c) <= syrup.WaterBoils(pPa)+0.5 {
		return c
	}
	return probe.Celsius(syrup.SyrupBoils(syrup.WaterRatio(float64(c), pPa), syrup.StandardPressure))
}

// Endpoint is what judged batches say of the temperature that gives the
// texture wanted, at standard pressure.
type Endpoint struct {
	Trials int
	Wanted int           // the texture asked for, 1 to 7
	Best   probe.Celsius // the median of what is likely
	Low    probe.Celsius // Low and High hold it with 80 %
	High   probe.Celsius
	Right  float64       // probability that a batch with its peak at Best is judged as wanted
	Step   probe.Delta   // from one texture level to the next
	Next   probe.Celsius // the trial that would teach most
	Enough bool          // the interval is narrow enough to cook by, and the batches do not contradict each other
	Say    string        // one sentence on how sure it is
}

// enoughWidth is the widest 80 % interval to cook by: ±3 °F, where 5 °F apart
// is another sweet.
const enoughWidth = 6 / 1.8 // K

// enoughTrials is the least number of trials that a recommendation rests on.
const enoughTrials = 4

// FindEndpoint fits texture against peak by a cumulative probit regression
// with evenly spaced levels, k being the texture wanted:
//
//	P(level ≤ j) = Φ((j + ½ − k − (T − E)/w) / s)
//
// E is the endpoint, w the kelvins from level to level and s the error of a
// rating in levels. All three are unknown, so E's distribution is worked out
// over a grid of them, with priors that say little: E within some 8 K of guess,
// w about 2.2 K (4 °F) and s about half a level, each within a factor of two.
// guess is the target that the trials began from, at standard pressure; wanted
// is 1 to 7, and what lies outside is taken for the nearer end.
func FindEndpoint(trials []Trial, wanted int, guess probe.Celsius) Endpoint {
	g := learned(trials, wanted, guess)
	e := Endpoint{Trials: len(trials), Wanted: g.wanted}
	e.Best, e.Low, e.High = g.quantile(0.5), g.quantile(0.1), g.quantile(0.9)
	e.Step = probe.Delta(g.meanStep())
	e.Right = g.chance(float64(e.Best), g.wanted)
	e.Next = g.next(float64(e.Best))
	width := float64(e.High - e.Low)
	askew := contradict(trials)
	e.Enough = len(trials) >= enoughTrials && width <= enoughWidth && !askew
	e.Say = e.sentence(width, askew)
	return e
}

// learned is the grid after all trials.
func learned(trials []Trial, wanted int, guess probe.Celsius) *grid {
	g := newGrid(guess, min(max(wanted, 1), levels))
	for _, t := range trials {
		g.learn(float64(t.SeaC), t.Texture)
	}
	return g
}

// contradict reports whether the hotter of some clearly different trials came
// out softer on the whole. The regression takes for granted that they do not,
// so its answer would mean nothing.
func contradict(trials []Trial) bool {
	var t, texture []float64
	for _, trial := range trials {
		t, texture = append(t, float64(trial.SeaC)), append(texture, float64(trial.Texture))
	}
	return len(trials) > 1 && spread(t) > contradictSpread && spread(texture) > 1 && correlation(t, texture) < 0
}

// contradictSpread is how far apart, in K, peaks must lie before a wrong order
// of textures is more than the error of a probe and of a rating.
const contradictSpread = 4 / 1.8

func (e Endpoint) sentence(width float64, askew bool) string {
	switch {
	case askew:
		return "The judged batches contradict each other: the hotter ones came out softer. Check their textures, and the probe, before going by this."
	case e.Trials == 0:
		return "No batch of this recipe has been judged yet, so there is nothing to go by."
	case e.Trials < enoughTrials:
		return fmt.Sprintf("%d judged batches are too few to recommend an endpoint; the next trial says most.", e.Trials)
	case !e.Enough:
		return fmt.Sprintf("The judged batches leave %.0f °F of room, too much to cook by; the next trial says most.", width*1.8)
	}
	return fmt.Sprintf("From %d judged batches: with 80 %% the endpoint lies within %.0f °F.", e.Trials, width*1.8)
}

// levels of texture.
const levels = Textures

// grid is the joint distribution of endpoint, step and rating error.
type grid struct {
	wanted  int // the texture that e is the endpoint of
	e, w, s []float64
	p       []float64 // over e, then w, then s; sums to 1
}

// The priors' spreads; see [FindEndpoint].
const (
	priorE    = 8.0     // K, standard deviation
	priorW    = 4 / 1.8 // K, median
	priorWLog = 0.35    // standard deviation of its logarithm
	priorS    = 0.5     // levels, median
	priorSLog = 0.4
)

func newGrid(guess probe.Celsius, wanted int) *grid {
	g := &grid{wanted: wanted}
	const stepE = 0.3
	for d := -2.8 * priorE; d <= 2.8*priorE; d += stepE {
		g.e = append(g.e, float64(guess)+d)
	}
	for z := -2.0; z <= 2; z += 2.0 / 3 {
		g.w = append(g.w, priorW*math.Exp(priorWLog*z))
	}
	for z := -2.0; z <= 2; z++ {
		g.s = append(g.s, priorS*math.Exp(priorSLog*z))
	}
	for _, e := range g.e {
		ze := (e - float64(guess)) / priorE
		for _, w := range g.w {
			zw := math.Log(w/priorW) / priorWLog
			for _, s := range g.s {
				zs := math.Log(s/priorS) / priorSLog
				g.p = append(g.p, math.Exp(-(ze*ze+zw*zw+zs*zs)/2))
			}
		}
	}
	g.normalise(g.p)
	return g
}

func (g *grid) normalise(p []float64) float64 {
	sum := 0.0
	for _, v := range p {
		sum += v
	}
	if sum > 0 {
		for i := range p {
			p[i] /= sum
		}
	}
	return sum
}

// rating is the probability of a level where the texture truly is x, on the
// scale of the levels, with the error s.
func rating(level int, x, s float64) float64 {
	below, above := 0.0, 1.0
	if level > 1 {
		below = phi((float64(level) - 0.5 - x) / s)
	}
	if level < levels {
		above = phi((float64(level) + 0.5 - x) / s)
	}
	return max(above-below, 1e-9) // a slip of the pen is always possible
}

// phi is the standard normal distribution function.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// learn takes one judged batch.
func (g *grid) learn(t float64, level int) {
	i := 0
	for _, e := range g.e {
		for _, w := range g.w {
			x := float64(g.wanted) + (t-e)/w
			for _, s := range g.s {
				g.p[i] *= rating(level, x, s)
				i++
			}
		}
	}
	g.normalise(g.p)
}

// marginal returns the distribution of the endpoint.
func (g *grid) marginal(p []float64) []float64 {
	m := make([]float64, len(g.e))
	per := len(g.w) * len(g.s)
	for i := range m {
		for _, v := range p[i*per : (i+1)*per] {
			m[i] += v
		}
	}
	return m
}

// quantile returns the endpoint that the true one lies under with probability q.
func (g *grid) quantile(q float64) probe.Celsius {
	step := g.e[1] - g.e[0]
	sum := 0.0
	for i, v := range g.marginal(g.p) {
		if sum+v >= q && v > 0 {
			return probe.Celsius(g.e[i] - step/2 + step*(q-sum)/v)
		}
		sum += v
	}
	return probe.Celsius(g.e[len(g.e)-1])
}

func (g *grid) meanStep() float64 {
	sum := 0.0
	for i, v := range g.p {
		sum += v * g.w[i/len(g.s)%len(g.w)]
	}
	return sum
}

// chance is the probability that a batch with peak t is judged as level.
func (g *grid) chance(t float64, level int) float64 {
	sum := 0.0
	i := 0
	for _, e := range g.e {
		for _, w := range g.w {
			x := float64(g.wanted) + (t-e)/w
			for _, s := range g.s {
				sum += g.p[i] * rating(level, x, s)
				i++
			}
		}
	}
	return sum
}

// next returns the trial near best that leaves the endpoint least uncertain,
// on average over how it may turn out.
func (g *grid) next(best float64) probe.Celsius {
	type choice struct{ t, left float64 }
	var all []choice
	for d := -8.0; d <= 8; d++ { // in °F: nobody cooks a sweet that is known to be wrong
		t := best + d/1.8
		left := 0.0
		for level := 1; level <= levels; level++ {
			after := &grid{wanted: g.wanted, e: g.e, w: g.w, s: g.s, p: slices.Clone(g.p)}
			chance := after.weigh(t, level)
			left += chance * after.variance()
		}
		all = append(all, choice{t, left + 1e-6*math.Abs(d)})
	}
	return probe.Celsius(slices.MinFunc(all, func(a, b choice) int { return cmp.Compare(a.left, b.left) }).t)
}

// weigh is learn, and returns how likely the level was.
func (g *grid) weigh(t float64, level int) float64 {
	c := g.chance(t, level)
	g.learn(t, level)
	return c
}

func (g *grid) variance() float64 {
	var m, v float64
	for i, p := range g.marginal(g.p) {
		m += p * g.e[i]
		v += p * g.e[i] * g.e[i]
	}
	return v - m*m
}

// SeaTarget returns the batch's target as it would be at standard pressure,
// where the pressure was known.
func (e Entry) SeaTarget() probe.Celsius { return seaLevel(e.Target, e.Pressure) }
