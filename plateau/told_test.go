package plateau_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// last returns the newest advice.
func (k *kitchen) last() plateau.Advice { return k.rows[len(k.rows)-1].a }

func TestMark_lateCreamEndFindsTheBoilThatBegan(t *testing.T) {
	k := newKitchen(dipping())
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
	k.mark(plateau.MarkCreamStart)
	k.pending, k.pour = 480, 4
	k.run(140+25, nil) // no cream-end yet
	if p := k.last().Phase; p != plateau.Cream {
		t.Fatalf("phase %v before cream-end was told, want cream", p)
	}
	k.tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkCreamEnd, Ago: 45 * time.Second})
	k.run(3, nil)
	if a := k.last(); !a.Stalled {
		t.Errorf("3 s after a mark that came 45 s late: phase %v, want the stall", a.Phase)
	}
}

func TestMark_latePullKeepsThePeakAndFitsTheCooling(t *testing.T) {
	k := climbing(dipping(), 0.5)
	k.on = false
	k.run(20, nil)
	a := k.tell(plateau.Input{Kind: plateau.Marked, Mark: plateau.MarkPull, Ago: 20 * time.Second})
	if a.Phase != plateau.Pulled {
		t.Fatalf("phase %v after the pull, want pulled", a.Phase)
	}
	k.run(40, nil)
	a = k.last()
	if !a.HasDip {
		t.Fatal("no forecast of the dip window a minute off the heat")
	}
	in, start := a.DipIn, k.t
	k.run(900, func(a plateau.Advice) bool { return a.Began.Has(plateau.DipOpen) })
	if took := k.t - start; math.Abs(took-in.Seconds()) > 0.15*took+3 {
		t.Errorf("the dip window opened after %.0f s, forecast %.0f s", took, in.Seconds())
	}
	left, start := k.last().DipLeft, k.t
	k.run(900, func(a plateau.Advice) bool { return a.Began.Has(plateau.DipClosed) })
	if took := k.t - start; math.Abs(took-left.Seconds()) > 0.2*took+3 {
		t.Errorf("the dip window lasted %.0f s, forecast %.0f s", took, left.Seconds())
	}
}

func TestUndo_takesBackAPull(t *testing.T) {
	k := climbing(dipping(), 15)
	k.mark(plateau.MarkPull) // by mistake
	k.run(4, nil)
	if p := k.last().Phase; p != plateau.Pulled {
		t.Fatalf("phase %v, want pulled", p)
	}
	a := k.tell(plateau.Input{Kind: plateau.Undone})
	if a.Phase != plateau.Climb && a.Phase != plateau.Stall {
		t.Errorf("phase %v after the undo, want the boil", a.Phase)
	}
	k.run(60, nil)
	if a := k.last(); !a.Forecast.Ok() {
		t.Errorf("no forecast a minute after the undo: %v", a.Why)
	}
	k.run(3000, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	if n, _ := k.count(plateau.PullNow); n != 1 {
		t.Errorf("pull began %d times after the undo, want once", n)
	}
}

func TestUndo_isBoundedAndHarmlessWhenEmpty(t *testing.T) {
	k := newKitchen(dipping())
	for range 40 {
		k.mark(plateau.MarkHeatUp)
	}
	for range 60 {
		k.tell(plateau.Input{Kind: plateau.Undone})
	}
	if p := k.last().Phase; p != plateau.Wait {
		t.Errorf("phase %v, want wait", p)
	}
}

func TestRetarget_movesThePull(t *testing.T) {
	k := climbing(dipping(), 12)
	lower := dipping().Target - 3
	a := k.tell(plateau.Input{Kind: plateau.Retargeted, Target: lower})
	if a.Target != lower {
		t.Fatalf("target %v, want %v", a.Target, lower)
	}
	k.run(3000, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	k.run(2, nil)
	if off := (k.c - float64(lower)) * 1.8; math.Abs(off) > 1 {
		t.Errorf("pulled %+.2f °F off the new target", off)
	}
}

func TestRetarget_belowThePotPullsAtOnce(t *testing.T) {
	k := climbing(dipping(), 12)
	k.tell(plateau.Input{Kind: plateau.Retargeted, Target: dipping().Target - 10})
	k.run(3, nil)
	a := k.last()
	if !a.Standing.Has(plateau.PullNow) || !a.Standing.Has(plateau.PastTarget) {
		t.Errorf("standing %b, want pull and past-target", a.Standing)
	}
	if a.Forecast.Ok() && a.Forecast.ETA > 0 {
		t.Errorf("forecast %v for a target that is behind", a.Forecast)
	}
}

func TestAcknowledge_silencesOneAlertOnly(t *testing.T) {
	k := climbing(dipping(), 3)
	k.run(400, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	a := k.tell(plateau.Input{Kind: plateau.Acknowledged})
	if !a.Quiet.Has(plateau.PullNow) || !a.Standing.Has(plateau.PullNow) {
		t.Fatalf("quiet %b, standing %b: the acknowledged pull stands and is quiet", a.Quiet, a.Standing)
	}
	k.run(400, func(a plateau.Advice) bool { return a.Began.Has(plateau.PastTarget) })
	if a := k.last(); a.Quiet.Has(plateau.PastTarget) {
		t.Error("an alert that began later is quiet from the start")
	}
}

func TestBackOn_startsANewLift(t *testing.T) {
	k := climbing(dipping(), 6)
	first := k.last().Peak
	k.on = false
	k.mark(plateau.MarkPull)
	k.run(60, nil)
	k.on = true
	a := k.mark(plateau.MarkBackOn)
	if a.Phase != plateau.Stall && a.Phase != plateau.Climb {
		t.Fatalf("phase %v back on the heat, want the boil", a.Phase)
	}
	k.run(5, nil)
	if p := k.last().Peak; p >= first {
		t.Errorf("peak %.2f so soon after the pot is back on, want one of its own under %.2f", p, first)
	}
	k.run(3000, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	k.run(2, nil)
	if off := (k.c - float64(dipping().Target)) * 1.8; math.Abs(off) > 1 {
		t.Errorf("second pull %+.2f °F off the target", off)
	}
}

func TestBackOn_onlyToBeWarmed(t *testing.T) {
	k := climbing(dipping(), 0.5)
	k.on = false
	k.mark(plateau.MarkPull)
	k.run(2000, func(a plateau.Advice) bool { return a.Phase == plateau.Done })
	k.on = true
	k.mark(plateau.MarkBackOn)
	k.run(60, func(plateau.Advice) bool { return k.c > 100.5 })
	k.on = false
	k.mark(plateau.MarkPull)
	k.run(15, nil)
	if p := k.last().Phase; p != plateau.Dip {
		t.Errorf("phase %v after warming into the dip window, want dip", p)
	}
}

func TestResume_takesThePotAsItIs(t *testing.T) {
	k := climbing(dipping(), 20)
	for range int(600 / 0.05) {
		k.physics(0.05)
		if k.t += 0.05; k.c > float64(dipping().Target)-4 {
			break
		}
	}
	k.tell(plateau.Input{Kind: plateau.Resumed})
	k.run(3, nil)
	if a := k.last(); a.Fault != probe.FaultNone {
		t.Errorf("after the break the readings are doubted: %v", a.Fault)
	}
	k.run(600, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) })
	k.run(2, nil)
	if off := (k.c - float64(dipping().Target)) * 1.8; math.Abs(off) > 1.2 {
		t.Errorf("pulled %+.2f °F off the target after a break", off)
	}
}

func TestWater_shareFollowsTheRecipe(t *testing.T) {
	cfg := dipping()
	k := newKitchen(cfg)
	cfg.Batch = plateau.Batch{Melt: k.mix, Cream: k.cream.Scale(480), PotJK: 500}
	k = climbing(cfg, 0.3)
	a := k.last()
	// 400 g of sugar and 480 g of cream hold 12.0 % of water at 235 °F: worked
	// example, computed from the boiling curve.
	if !a.HasWater || math.Abs(a.Water-0.12) > 0.006 {
		t.Errorf("water share %.3f (%v) near 235 °F, want 0.120", a.Water, a.HasWater)
	}
}

// TestNextBatch_inAWarmPot begins a batch in a pot that is still warm from the
// one before, with a probe just washed: the tip reads cold and then leaps.
func TestNextBatch_inAWarmPot(t *testing.T) {
	for _, hush := range []bool{false, true} {
		for _, warm := range []float64{45, 70, 90} {
			t.Run(fmt.Sprintf("%.0f °C, unmarked %v", warm, hush), func(t *testing.T) {
				k := newKitchen(dipping())
				k.hush, k.on = hush, false
				k.c, k.shown = 14, 14 // under the tap
				k.run(15, nil)
				k.c = warm
				k.run(20, nil)
				k.on = true
				k.batch()
				for _, p := range []plateau.Prompt{plateau.Stalled, plateau.NearTarget, plateau.PullNow} {
					if n, _ := k.count(p); n != 1 {
						t.Errorf("%v began %d times, want once", p, n)
					}
				}
				for _, p := range []plateau.Prompt{plateau.Burn, plateau.Scorch, plateau.Seize, plateau.PastTarget, plateau.ProbeFault} {
					if n, at := k.count(p); n != 0 {
						t.Errorf("%v began at %v in a cook without fault", p, at)
					}
				}
				if off := k.peakF(10*time.Minute, probe.Fahrenheit(235)); math.Abs(off) > 1 {
					t.Errorf("the pot's true peak is %+.2f °F off the target, want within 1", off)
				}
				if k.last().Phase != plateau.Done {
					t.Errorf("ends in %v, want done", k.last().Phase)
				}
			})
		}
	}
}

// TestMelt_inAHotPotIsNoBoil has a washed probe put into a pot that still
// stands hot, and sugar in it, of which nobody tells: the leap of the tip is no
// warming, and what runs through the target on its way to melting is not pulled.
func TestMelt_inAHotPotIsNoBoil(t *testing.T) {
	for _, warm := range []float64{45, 70, 85, 90, 95, 104} {
		for _, watts := range []float64{350, 600, 900} {
			k := newKitchen(dipping())
			k.hush, k.on, k.watts = true, false, watts
			k.c, k.shown = 14, 14
			k.run(15, nil)
			k.c = warm
			k.run(20, nil)
			k.on = true
			k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
			for _, p := range []plateau.Prompt{plateau.Stalled, plateau.NearTarget, plateau.PullNow} {
				if n, at := k.count(p); n != 0 {
					t.Errorf("a pot of %.0f °C on %.0f W: %v began at %v", warm, watts, p, at)
				}
			}
			if p := k.last().Phase; p != plateau.Melt {
				t.Errorf("a pot of %.0f °C on %.0f W: %v at 172 °C, want melt", warm, watts, p)
			}
		}
	}
}
