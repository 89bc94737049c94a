package sessions

import (
	"flag"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"strings"
	"testing"

	"boildown/probe"
	"boildown/syrup"
)

// drawTrials draws a shelf of judged trials: seven levels 4 °F apart, the true
// endpoint of the wanted one anywhere in 228–246 °F, a first guess up to 6 °F
// wrong, peaks spread by 5 °F round it, and ratings off by half a level. All
// invented.
func drawTrials(rng *rand.Rand, wanted, n int) (truth, guess probe.Celsius, trials []Trial) {
	trueF := 228 + 18*rng.Float64()
	guessF := trueF + 12*rng.Float64() - 6
	for range n {
		peakF := guessF + 5*rng.NormFloat64()
		level := int(math.Round(float64(wanted) + (peakF-trueF)/4 + 0.5*rng.NormFloat64()))
		trials = append(trials, Trial{SeaC: probe.Fahrenheit(peakF), Texture: min(max(level, 1), levels)})
	}
	return probe.Fahrenheit(trueF), probe.Fahrenheit(guessF), trials
}

var shelvesDrawn = flag.Int("shelves", 60, "how many simulated shelves to find the endpoint of, for each texture")

// With eight trials the endpoint is found within 2 °F on four shelves of five,
// and the interval holds it as often as it says, for each texture but the two
// ends of the scale: beyond those nobody can tell how far off a trial was.
func TestEndpointOfSimulatedShelves(t *testing.T) {
	const n = 8
	for wanted := 2; wanted < levels; wanted++ {
		rng := rand.New(rand.NewPCG(7, uint64(wanted)))
		near, covered, enough := 0, 0, 0
		for range *shelvesDrawn {
			truth, guess, trials := drawTrials(rng, wanted, n)
			g := learned(trials, wanted, guess)
			best, low, high := g.quantile(0.5), g.quantile(0.1), g.quantile(0.9)
			if math.Abs(probe.Delta(best-truth).F()) <= 2 {
				near++
			}
			if low <= truth && truth <= high {
				covered++
			}
			if float64(high-low) <= enoughWidth {
				enough++
			}
		}
		share := func(k int) float64 { return float64(k) / float64(*shelvesDrawn) }
		t.Logf("wanted %-8s %d shelves of %d trials: endpoint within 2 °F in %.1f %%, 80 %% interval holds it in %.1f %%, enough to cook by in %.1f %%",
			Outcome{Texture: wanted}.TextureWord(), *shelvesDrawn, n, 100*share(near), 100*share(covered), 100*share(enough))
		if share(near) < 0.8 {
			t.Errorf("within 2 °F in %.1f %%, want 80 %%", 100*share(near))
		}
		// Three standard deviations of a share of 80 %.
		if off := 3 * math.Sqrt(0.16/float64(*shelvesDrawn)); share(covered) < 0.8-off {
			t.Errorf("the 80 %% interval holds the endpoint in %.1f %%", 100*share(covered))
		}
	}
}

func TestEndpointSaysWhenItKnowsTooLittle(t *testing.T) {
	guess := probe.Fahrenheit(240)
	for n, want := range map[int]bool{0: false, 1: false, 3: false} {
		trials := make([]Trial, n)
		for i := range trials {
			trials[i] = Trial{SeaC: guess, Texture: 4}
		}
		if e := FindEndpoint(trials, 4, guess); e.Enough != want || e.Say == "" {
			t.Errorf("%d trials: %+v", n, e)
		}
	}
	e := FindEndpoint(nil, 4, guess)
	if math.Abs(float64(e.Best-guess)) > 0.1 || e.High-e.Low < 15 {
		t.Errorf("without trials: %+v", e)
	}
}

// Batches that came out softer the hotter they got are no ground to stand on,
// however narrow the interval that a regression makes of them.
func TestEndpointSaysWhenBatchesContradictEachOther(t *testing.T) {
	var askew, sound []Trial
	for i := range 8 {
		at := probe.Fahrenheit(230 + 2*float64(i))
		askew = append(askew, Trial{SeaC: at, Texture: 7 - i*6/7})
		sound = append(sound, Trial{SeaC: at, Texture: 1 + i*6/7})
	}
	if e := FindEndpoint(askew, 4, probe.Fahrenheit(238)); e.Enough || !strings.Contains(e.Say, "contradict") {
		t.Errorf("hotter is softer: %+v", e)
	}
	if e := FindEndpoint(sound, 4, probe.Fahrenheit(238)); !e.Enough {
		t.Errorf("hotter is harder: %+v", e)
	}
}

// A trial where the answer is known teaches nothing: after trials that all
// shatter, the next one is cooler.
func TestNextTrialGoesWhereTheAnswerIs(t *testing.T) {
	at := probe.Fahrenheit(250)
	hard := []Trial{{SeaC: at, Texture: 7}, {SeaC: at, Texture: 7}, {SeaC: at, Texture: 7}}
	e := FindEndpoint(hard, 4, at)
	if e.Best >= at || e.Next >= at {
		t.Errorf("after three that shatter: best %.1f °F, next %.1f °F", e.Best.F(), e.Next.F())
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
	g := newGrid(probe.Fahrenheit(238), 4)
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
