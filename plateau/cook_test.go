package plateau_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

var update = flag.Bool("update", false, "rewrite the golden advice timelines")

// dipping is the config of the invented market-stall batch: a dipping caramel
// pulled at 235 °F (common practice, no source).
func dipping() plateau.Config {
	return plateau.Config{Target: probe.Fahrenheit(235), Pressure: 101325, Lag: 3 * time.Second}
}

// count returns how often p began, and when first.
func (k *kitchen) count(p plateau.Prompt) (n int, first time.Duration) {
	for _, r := range k.rows {
		if r.a.Began.Has(p) {
			if n == 0 {
				first = r.at
			}
			n++
		}
	}
	return n, first
}

// peakF returns the hottest true temperature from a time on, over the target, °F.
func (k *kitchen) peakF(from time.Duration, target probe.Celsius) float64 {
	hottest := math.Inf(-1)
	for _, r := range k.rows {
		if r.at >= from {
			hottest = max(hottest, r.truth)
		}
	}
	return (hottest - float64(target)) * 1.8
}

func TestCook_wholeMarkedBatch(t *testing.T) {
	k := newKitchen(dipping())
	k.batch()
	once := []plateau.Prompt{
		plateau.Stalled, plateau.LowerHeat, plateau.NearTarget, plateau.PullNow,
		plateau.DipOpen, plateau.DipClosing, plateau.DipClosed,
	}
	for _, p := range once {
		if n, _ := k.count(p); n != 1 {
			t.Errorf("%v began %d times, want once", p, n)
		}
	}
	for _, p := range []plateau.Prompt{plateau.Burn, plateau.Scorch, plateau.Seize, plateau.PastTarget, plateau.NotRising, plateau.ProbeFault} {
		if n, at := k.count(p); n != 0 {
			t.Errorf("%v began %d times, first at %v, in a cook without fault", p, n, at)
		}
	}
	phase := plateau.Wait
	for _, r := range k.rows {
		if r.a.Phase < phase {
			t.Errorf("at %v the cook goes back from %v to %v", r.at, phase, r.a.Phase)
		}
		phase = r.a.Phase
	}
	if phase != plateau.Done {
		t.Errorf("the batch ends in %v, want done", phase)
	}
	if off := k.peakF(10*time.Minute, probe.Fahrenheit(235)); math.Abs(off) > 1 {
		t.Errorf("the pot's true peak is %+.2f °F off the target, want within 1", off)
	}
	if a := k.rows[len(k.rows)-1].a; a.Standing != 0 && a.Standing != plateau.Prompts(0).With(plateau.DipClosed) {
		t.Errorf("prompts %b still stand at the end", a.Standing)
	}
}

// timeline writes what a cook is told, to the minute: the fold's output as a
// person would tell it afterwards, and no finer, so that it changes only where
// the advice does.
func (k *kitchen) timeline() []byte {
	var b bytes.Buffer
	phase := plateau.Phase(255)
	for _, r := range k.rows {
		if r.a.Phase == phase && r.a.Began == 0 {
			continue
		}
		phase = r.a.Phase
		fmt.Fprintf(&b, "%3.0f min %v", r.at.Minutes(), phase)
		for p := range r.a.Began.All {
			fmt.Fprintf(&b, " %v", p)
		}
		b.WriteByte('\n')
	}
	return b.Bytes()
}

func TestCook_goldenTimelines(t *testing.T) {
	for name, hush := range map[string]bool{"marked": false, "unmarked": true} {
		t.Run(name, func(t *testing.T) {
			k := newKitchen(dipping())
			k.hush = hush
			k.batch()
			path := filepath.Join("testdata", "advice", name+".golden")
			if *update {
				if err := os.WriteFile(path, k.timeline(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if got := k.timeline(); !bytes.Equal(got, want) {
				t.Errorf("advice differs from %s; got\n%s\nwant\n%s", path, got, want)
			}
		})
	}
}

func TestCook_nothingMarked(t *testing.T) {
	k := newKitchen(dipping())
	k.hush = true
	k.batch()
	if n, _ := k.count(plateau.PullNow); n != 1 {
		t.Fatalf("pull began %d times, want once", n)
	}
	if off := k.peakF(10*time.Minute, probe.Fahrenheit(235)); math.Abs(off) > 1 {
		t.Errorf("the pot's true peak is %+.2f °F off the target, want within 1", off)
	}
	_, stall := k.count(plateau.Stalled)
	// The last cream of the kitchen's batch goes in at 580 s and the pot boils on.
	if stall == 0 || stall > 700*time.Second {
		t.Errorf("stall recognised at %v, want within 120 s of 580 s", stall)
	}
	if a := k.rows[len(k.rows)-1].a; a.Phase != plateau.Done {
		t.Errorf("the batch ends in %v, want done: a pot that cools is off the heat", a.Phase)
	}
}

func TestCook_startedOnTheBoil(t *testing.T) {
	for _, tc := range []struct {
		name  string
		water float64 // g left under 400 g of sugar when the program is started
	}{{"stall", 200}, {"climb", 110}} {
		t.Run(tc.name, func(t *testing.T) {
			k := newKitchen(dipping())
			k.mix = k.mix.Add(k.cream.Scale(480)).WithWater(tc.water)
			k.c = k.mix.Boils(k.pPa)
			k.shown = k.c
			k.run(90, nil)
			if a := k.rows[len(k.rows)-1].a; !a.Forecast.Ok() {
				t.Errorf("90 s after the start: phase %v, no forecast (%v)", a.Phase, a.Why)
			}
			k.boilAndPull()
			if off := k.peakF(0, probe.Fahrenheit(235)); math.Abs(off) > 1 {
				t.Errorf("the pot's true peak is %+.2f °F off the target, want within 1", off)
			}
		})
	}
}

// TestCook_noStallWithoutSugarInWater cooks what never stalls.
func TestCook_noStallWithoutSugarInWater(t *testing.T) {
	for _, pressure := range []float64{0, 101325} {
		for _, tc := range []struct {
			name string
			cook func(k *kitchen)
		}{
			{"plain water", func(k *kitchen) {
				k.mix.Solutes, k.mix.Water = 1e-6, 900
				k.run(2400, nil)
			}},
			{"dry sugar", func(k *kitchen) {
				k.watts = 250
				k.run(1500, func(plateau.Advice) bool { return k.c > 200 })
			}},
			{"dry sugar, marked", func(k *kitchen) {
				k.hush = false
				k.mark(plateau.MarkMeltStart)
				k.run(1500, func(plateau.Advice) bool { return k.c > 200 })
			}},
			{"a melt taken off the heat", func(k *kitchen) {
				k.run(3000, func(plateau.Advice) bool { return k.c > 175 })
				k.on = false
				k.run(2400, nil)
			}},
		} {
			t.Run(fmt.Sprintf("%s, %v Pa", tc.name, pressure), func(t *testing.T) {
				cfg := dipping()
				cfg.Pressure = pressure
				k := newKitchen(cfg)
				k.hush = true
				tc.cook(k)
				for _, r := range k.rows {
					if r.a.Stalled || r.a.Forecast.Ok() || r.a.Began.Has(plateau.PullNow) {
						t.Fatalf("at %v, %.1f °C: stalled %v, forecast %v, began %b", r.at, r.truth, r.a.Stalled, r.a.Forecast, r.a.Began)
					}
				}
			})
		}
	}
}

// climbing returns a kitchen whose marked batch is so many °F under its target.
func climbing(cfg plateau.Config, underF float64) *kitchen {
	k := newKitchen(cfg)
	k.run(20, nil)
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
	k.mark(plateau.MarkCreamStart)
	k.pending, k.pour = 480, 4
	k.run(140, nil)
	k.mark(plateau.MarkCreamEnd)
	k.run(4000, func(plateau.Advice) bool { return (float64(cfg.Target)-k.c)*1.8 <= underF })
	return k
}

func TestCook_readingsStopNearTheTarget(t *testing.T) {
	for name, in := range map[string]plateau.Input{
		"open circuit": {Kind: plateau.Measured, Fault: probe.FaultOpen},
		"silence":      {Kind: plateau.Silent},
	} {
		t.Run(name, func(t *testing.T) {
			k := climbing(dipping(), 8)
			k.t += 1
			a := k.tell(in)
			if !a.Began.Has(plateau.ProbeFault) {
				t.Fatal("no alarm at the first input without a reading")
			}
			if !a.Forecast.Ok() || !a.Forecast.Guess {
				t.Errorf("forecast %+v, want the last one running on as a guess", a.Forecast)
			}
			pulled := false
			for range 60 {
				for range 100 {
					k.physics(0.05)
				}
				k.t += 5
				a = k.tell(plateau.Input{Kind: plateau.Silent})
				if a.Began.Has(plateau.PullNow) {
					pulled = true
					break
				}
			}
			if over := (k.c - float64(dipping().Target)) * 1.8; !pulled || over > 1 {
				t.Errorf("blind pull raised %v, the pot then %+.1f °F off the target; want it raised at the early end", pulled, over)
			}
		})
	}
}

func TestCook_readingsStopFarFromTheTarget(t *testing.T) {
	k := climbing(dipping(), 25)
	k.t += 1
	if a := k.tell(plateau.Input{Kind: plateau.Measured, Fault: probe.FaultEmpty}); a.Began.Has(plateau.ProbeFault) {
		t.Error("one empty line far from the target sounded the alarm")
	}
	k.t += 5
	if a := k.tell(plateau.Input{Kind: plateau.Silent}); !a.Began.Has(plateau.ProbeFault) {
		t.Error("5 s of silence on the boil raised nothing")
	}
	k.run(5, nil)
	if a := k.rows[len(k.rows)-1].a; a.Standing.Has(plateau.ProbeFault) {
		t.Error("the alarm still stands 5 s after the readings came back")
	}
}

func TestCook_notPulled(t *testing.T) {
	k := climbing(dipping(), 3)
	k.run(400, func(plateau.Advice) bool { return k.c > float64(dipping().Target)+6 })
	for p, over := range map[plateau.Prompt][2]float64{
		plateau.PullNow: {-1, 0.6}, plateau.PastTarget: {0.9, 2}, plateau.Scorch: {8.5, 10.5},
	} {
		n, at := k.count(p)
		if n != 1 {
			t.Errorf("%v began %d times, want once", p, n)
			continue
		}
		for _, r := range k.rows {
			if r.at == at {
				if f := (r.truth - float64(dipping().Target)) * 1.8; f < over[0] || f > over[1] {
					t.Errorf("%v began %+.2f °F from the target, want %v", p, f, over)
				}
			}
		}
	}
	k.on = false
	a := k.mark(plateau.MarkPull)
	for _, p := range []plateau.Prompt{plateau.PullNow, plateau.PastTarget, plateau.Scorch, plateau.NearTarget} {
		if a.Standing.Has(p) {
			t.Errorf("%v stands after the pull", p)
		}
	}
}
