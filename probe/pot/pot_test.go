package pot

import (
	"math"
	"testing"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// cooked runs a whole batch under the scripted cook and calls each once a
// second with what was read and pressed.
func cooked(cfg Config, each func(p *Pot, r probe.Reading, word string)) *Pot {
	p, c := New(cfg), NewCook()
	for at := time.Duration(0); !c.Done() && at < 2*time.Hour; at += time.Second {
		p.Advance(at)
		r := p.Read()
		w := c.Watch(at, r, p.Look())
		if w != "" {
			p.Told(w)
		}
		each(p, r, w)
	}
	return p
}

// Common practice, no source, for the bounds: about five minutes from the last
// cream to 235 °F over medium heat and no more than a quarter of an hour; a
// minute or two off the heat to the dip window.
func TestDefaultBatchTakesPlausibleMinutes(t *testing.T) {
	at := map[string]time.Duration{}
	peak := 0.0
	cooked(DefaultConfig(), func(p *Pot, r probe.Reading, word string) {
		if _, seen := at[word]; !seen {
			at[word] = p.Now()
		}
		if p.Boiling() && at["cream-end"] > 0 && at["boils"] == 0 {
			at["boils"] = p.Now()
			if f := p.True().F(); f < 217 || f > 222 {
				t.Errorf("the whole pot boils at %.1f °F, want the stall near 220", f)
			}
		}
		if at["cream-end"] > 0 {
			peak = max(peak, p.True().F())
		}
	})
	for _, row := range []struct {
		from, to string
		lo, hi   float64 // min
	}{
		{"melt-start", "crystals-gone", 4, 12},
		{"crystals-gone", "cream-start", 0, 3},
		{"cream-start", "cream-end", 1.5, 6},
		{"cream-end", "boils", 0.01, 2},
		{"cream-end", "pull", 5, 15},
		{"pull", "dip", 1, 5},
	} {
		if at[row.from] == 0 || at[row.to] == 0 {
			t.Fatalf("%s or %s never came: %v", row.from, row.to, at)
		}
		if m := (at[row.to] - at[row.from]).Minutes(); m < row.lo || m > row.hi {
			t.Errorf("%s to %s took %.1f min, want %v to %v", row.from, row.to, m, row.lo, row.hi)
		}
	}
	if peak < 234 || peak > 237 {
		t.Errorf("peak %.1f °F, want near 235", peak)
	}
}

// enthalpyJ is the heat held above 0 °C, by numerical integration and in the
// test's own words, so that it can contradict the pot's stepping.
func enthalpyJ(p *Pot) float64 {
	upTo := func(tC float64, jk func(float64) float64) (j float64) {
		const n = 400
		for i := range n {
			j += jk(tC*(float64(i)+0.5)/n) * tC / n
		}
		return j
	}
	m := syrup.Mix{Water: p.water, Fat: p.fat, Solutes: p.milk, Protein: p.protein, Ash: p.ash}
	h := upTo(p.base, func(float64) float64 { return p.cfg.BaseJK })
	h += upTo(p.contents, func(float64) float64 { return p.cfg.PotJK - p.cfg.BaseJK })
	h += upTo(p.contents, m.HeatCapacity)
	// A gram of syrup is a gram of crystals, warmed and melted at the melting
	// point, then brought from there to where it is.
	syrupJG := upTo(meltsC, crystalJGK) + meltJG + upTo(p.contents, sugarJGK) - upTo(meltsC, sugarJGK)
	return h + (p.liquid+p.lumps)*syrupJG + p.crystals*upTo(p.crystalC, crystalJGK)
}

func TestHeatAndWaterAreNeitherMadeNorLost(t *testing.T) {
	cfg := DefaultConfig()
	for _, lid := range []bool{false, true} {
		start := enthalpyJ(New(cfg))
		poured, creamJ := 0.0, 0.0
		end := cooked(cfg, func(p *Pot, _ probe.Reading, _ string) {
			p.SetLid(lid)
			if g := cfg.Cream.Mass() - p.JugG(); g > poured {
				c := cfg.Cream.Scale((g - poured) / cfg.Cream.Mass())
				for i := range 100 {
					creamJ += c.HeatCapacity(cfg.CreamC*(float64(i)+0.5)/100) * cfg.CreamC / 100
				}
				poured = g
			}
		})
		// Steam takes its latent heat and what the water held above 0 °C.
		steamWarmth := end.sums.steamG * 4.2 * 106
		in := start + end.sums.inJ + creamJ
		out := enthalpyJ(end) + end.sums.lostJ + end.sums.steamJ + steamWarmth
		if math.Abs(in-out) > 0.02*end.sums.inJ {
			t.Errorf("lid %v: %.0f kJ went in, %.0f kJ are accounted for", lid, in/1e3, out/1e3)
		}
		water := cfg.Cream.Water - end.water - end.sums.steamG
		sugar := cfg.Melt.Solutes - end.liquid - end.lumps - end.crystals
		if math.Abs(water) > 1e-6 || math.Abs(sugar) > 1e-6 {
			t.Errorf("lid %v: %g g of water and %g g of sugar are missing", lid, water, sugar)
		}
	}
}

func TestSameSeedSameReadings(t *testing.T) {
	cfg := DefaultConfig()
	cfg.Probe.Spikes, cfg.Probe.Dropouts, cfg.Probe.Lifts = 1, 1, 1
	run := func() (rs []probe.Reading) {
		cooked(cfg, func(_ *Pot, r probe.Reading, _ string) { rs = append(rs, r) })
		return rs
	}
	a, b := run(), run()
	cfg.Seed++
	c := run()
	if len(a) != len(b) {
		t.Fatalf("%d readings, then %d", len(a), len(b))
	}
	differ := 0
	for i := range a {
		if a[i] != b[i] {
			t.Fatalf("reading %d: %v, then %v", i, a[i], b[i])
		}
		if i < len(c) && a[i] != c[i] {
			differ++
		}
	}
	if differ == 0 {
		t.Error("another seed gives the same readings")
	}
}

func TestCloneRunsOnLikeTheOriginal(t *testing.T) {
	cfg := DefaultConfig()
	cfg.Probe.Dropouts = 2
	p := New(cfg)
	p.Told("melt-start")
	p.Advance(4 * time.Minute)
	q := p.Clone()
	frozen := p.contents
	for at := 4 * time.Minute; at < 9*time.Minute; at += time.Second {
		p.Advance(at)
		q.Advance(at)
		if p.True() != q.True() || p.Read() != q.Read() {
			t.Fatalf("they part at %v: %v and %v", at, p.True(), q.True())
		}
	}
	r := q.Clone()
	r.Advance(20 * time.Minute)
	if q.contents != p.contents || r.contents == q.contents || frozen == q.contents {
		t.Error("running a clone on moved its original")
	}
}

func TestPotDoesNotDependOnHowOftenItIsLookedAt(t *testing.T) {
	a, b := New(DefaultConfig()), New(DefaultConfig())
	a.Told("melt-start")
	b.Told("melt-start")
	for at := time.Duration(0); at <= 5*time.Minute; at += 130 * time.Millisecond {
		a.Advance(at)
		a.Read()
	}
	a.Advance(5 * time.Minute)
	b.Advance(5 * time.Minute)
	if a.True() != b.True() {
		t.Errorf("looked at often %v, seldom %v", a.True(), b.True())
	}
}

func TestArrivalIsWhenItArrives(t *testing.T) {
	cfg := DefaultConfig()
	cfg.StartsBoil, cfg.Probe.Offset = true, 0.8
	p := New(cfg)
	p.Advance(2 * time.Minute)
	target := probe.Celsius(110)
	at, ok := p.Arrival(target, time.Hour)
	if !ok || p.Now() != 2*time.Minute {
		t.Fatalf("arrival %v %v, and the pot stands at %v", at, ok, p.Now())
	}
	p.Advance(at)
	if d := float64(p.True()) + 0.8 - 110; math.Abs(d) > 0.01 {
		t.Errorf("at its arrival the pot is %.3f K off the target", d)
	}
}
