package sessions

import (
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"boildown/probe"
	"boildown/syrup"
)

// shelf draws a shelf of judged trials: seven levels 4 °F apart, the true
// endpoint anywhere in 228–246 °F, a first guess up to 6 °F wrong, peaks
// spread by 5 °F round it, and ratings off by half a level. All invented.
func drawTrials(rng *rand.Rand, n int) (truth, guess probe.Celsius, trials []Trial) {
	trueF := 228 + 18*rng.Float64()
	guessF := trueF + 12*rng.Float64() - 6
	for range n {
		peakF := guessF + 5*rng.NormFloat64()
		level := int(math.Round(4 + (peakF-trueF)/4 + 0.5*rng.NormFloat64()))
		trials = append(trials, Trial{SeaC: probe.Fahrenheit(peakF), Texture: min(max(level, 1), 7)})
	}
	return probe.Fahrenheit(trueF), probe.Fahrenheit(guessF), trials
}

func TestEndpointOfSimulatedShelves(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 11))
	const shelves, n = 200, 8
	near, covered, enough := 0, 0, 0
	for range shelves {
		truth, guess, trials := drawTrials(rng, n)
		e := findOnly(trials, guess)
		if d := probe.Delta(e.Best - truth); math.Abs(d.F()) <= 2 {
			near++
		}
		if e.Low <= truth && truth <= e.High {
			covered++
		}
		if e.Enough {
			enough++
		}
	}
	t.Logf("of %d shelves of %d trials: endpoint within 2 °F in %.0f %%, 80 %% interval holds it in %.0f %%, enough to cook by in %.0f %%",
		shelves, n, 100*float64(near)/shelves, 100*float64(covered)/shelves, 100*float64(enough)/shelves)
	if near < shelves*80/100 {
		t.Errorf("within 2 °F in %d of %d shelves, want 80 %%", near, shelves)
	}
	// Three standard deviations of a share of 80 % in 200 shelves are 8 %.
	if share := float64(covered) / shelves; share < 0.72 || share > 0.93 {
		t.Errorf("the 80 %% interval holds the endpoint in %.0f %%", 100*share)
	}
}

// findOnly is FindEndpoint without the search for the next trial, which costs
// most of its time.
func findOnly(trials []Trial, guess probe.Celsius) Endpoint {
	g := newGrid(guess)
	for _, tr := range trials {
		g.learn(float64(tr.SeaC), tr.Texture)
	}
	e := Endpoint{Trials: len(trials), Best: g.quantile(0.5), Low: g.quantile(0.1), High: g.quantile(0.9)}
	e.Enough = len(trials) >= enoughTrials && float64(e.High-e.Low) <= enoughWidth
	return e
}

func TestEndpointSaysWhenItKnowsTooLittle(t *testing.T) {
	guess := probe.Fahrenheit(240)
	for n, want := range map[int]bool{0: false, 1: false, 3: false} {
		trials := make([]Trial, n)
		for i := range trials {
			trials[i] = Trial{SeaC: guess, Texture: 4}
		}
		if e := FindEndpoint(trials, guess); e.Enough != want || e.Say == "" {
			t.Errorf("%d trials: %+v", n, e)
		}
	}
	e := FindEndpoint(nil, guess)
	if math.Abs(float64(e.Best-guess)) > 0.1 || e.High-e.Low < 15 {
		t.Errorf("without trials: %+v", e)
	}
}

// A trial where the answer is known teaches nothing: after ratings that are
// all far too hard, the next trial is a cooler one.
func TestNextTrialGoesWhereTheAnswerIs(t *testing.T) {
	at := probe.Fahrenheit(250)
	hard := []Trial{{SeaC: at, Texture: 7}, {SeaC: at, Texture: 7}, {SeaC: at, Texture: 7}}
	e := FindEndpoint(hard, at)
	if e.Best >= at || e.Next >= at {
		t.Errorf("after three far too hard: best %.1f °F, next %.1f °F", e.Best.F(), e.Next.F())
	}
}

func TestTrialsAreCorrectedForPressure(t *testing.T) {
	const pPa = 84_000 // some 1,550 m
	target := probe.Fahrenheit(240)
	peak := probe.Celsius(syrup.ShiftTarget(float64(target), pPa))
	entry := func(pressure float64) Entry {
		return Entry{Recipe: "soft", Peak: peak, Pressure: pressure, Label: Label{Outcome: Outcome{Texture: 4}}}
	}
	got := TrialsOf([]Entry{entry(pPa), entry(0), {Recipe: "soft", Peak: peak}, {Recipe: "rods", Peak: peak}}, "soft")
	if len(got) != 2 || math.Abs(float64(got[0].SeaC-target)) > 0.02 || got[0].Assumed || got[1].SeaC != peak || !got[1].Assumed {
		t.Errorf("trials %+v, want the first at %.2f °C", got, target)
	}
}

// The same 250 ratings (drawn once, invented) fitted by another program:
// statsmodels 0.13.5, OrderedModel with distr='probit' and free thresholds,
// latent slope 0.45025 per °F. Its endpoint is where the latent mean stands
// half-way between the thresholds of the wanted level, its step the mean
// distance of thresholds: 236.346 °F and 4.063 °F. With so many data the
// priors weigh nothing, and one spacing for all levels costs little.
func TestEndpointAgreesWithStatsmodels(t *testing.T) {
	file, err := os.ReadFile("testdata/ratings.csv")
	if err != nil {
		t.Fatal(err)
	}
	g := newGrid(probe.Fahrenheit(238))
	n := 0
	for line := range strings.Lines(string(file)) {
		f, level, ok := strings.Cut(strings.TrimSpace(line), ",")
		if !ok || n == 0 && f == "fahrenheit" {
			continue
		}
		k, err := strconv.Atoi(level)
		if err != nil {
			t.Fatal(err)
		}
		g.learn(float64(probe.Fahrenheit(number64(t, f))), k)
		n++
	}
	if n != 250 {
		t.Fatalf("%d ratings", n)
	}
	if got := g.quantile(0.5).F(); math.Abs(got-236.346) > 0.15 {
		t.Errorf("endpoint %.3f °F, want 236.346", got)
	}
	if got := probe.Delta(g.meanStep()).F(); math.Abs(got-4.063) > 0.25 {
		t.Errorf("step %.3f °F, want 4.063", got)
	}
}
