package plateau_test

import (
	"math"
	"strings"
	"testing"

	"boildown/plateau"
	"boildown/probe"
)

// dryMelt heats sugar to c °C, the cook saying at 150 °C how it looks.
func dryMelt(c, watts float64, look plateau.Mark) *kitchen {
	k := newKitchen(dipping())
	k.watts = watts
	k.run(20, nil)
	k.mark(plateau.MarkMeltStart)
	k.run(3000, func(plateau.Advice) bool { return k.c >= min(c, 150) })
	if look != plateau.NoMark {
		k.mark(look)
	}
	k.run(3000, func(plateau.Advice) bool { return k.c >= c })
	return k
}

// TestMelt_longLift keeps the tip out of the melt for minutes, in air of any
// warmth. From when it is named until the tip is back it stays named, however
// long, the temperature told is the melt's last, and Burn is warned of by a
// guess in time and stands. Back in the melt, nothing burns that is no hotter
// than amber.
func TestMelt_longLift(t *testing.T) {
	for _, look := range []plateau.Mark{plateau.NoMark, plateau.MarkLookClumps} {
		for _, at := range []float64{140, 148, 172, 181} {
			for _, air := range []float64{40, 70, 85, 100} {
				for _, lasts := range []float64{120, 200, 400} {
					k := dryMelt(at, 300, look)
					from, first := k.t, len(k.rows)
					k.lift(lasts, air, 60)
					out := len(k.rows)
					k.run(40, nil)
					warned := at > 180
					for i, r := range k.rows[first:] {
						age := r.at.Seconds() - from
						switch {
						case first+i >= out:
							if r.a.Began.Has(plateau.Burn) && r.truth < 173 {
								t.Errorf("%v, %.0f °C, air %.0f °C, %.0f s: burns at %.1f °C", look, at, air, lasts, r.truth)
							}
							continue
						case age < 45:
							continue
						case r.a.Phase != plateau.Melt || r.a.Fault != probe.FaultLifted || !r.a.Standing.Has(plateau.ProbeFault):
							t.Fatalf("%v, %.0f °C, air %.0f °C: %v %v after %.0f s, at %.0f °C", look, at, air, r.a.Phase, r.a.Fault, age, r.truth)
						case math.Abs(float64(r.a.Now)-at) > 8:
							t.Fatalf("%v, lifted at %.0f °C into air of %.0f °C: says %.0f °C after %.0f s", look, at, air, r.a.Now, age)
						}
						if text := plateau.ProbeFault.Text(r.a, probe.UnitF); !strings.Contains(text, "if cream is in, mark it") {
							t.Fatalf("says %q, but cream would make it fall as well", text)
						}
						burn := r.a.Standing.Has(plateau.Burn)
						if warned && !burn || r.truth > 185 && !burn {
							t.Fatalf("%v, %.0f °C, air %.0f °C: no warning after %.0f s, at %.0f °C", look, at, air, age, r.truth)
						}
						warned = warned || burn
					}
				}
			}
		}
	}
}

// TestMelt_liftedTwice puts the tip back for some seconds, too few to show the
// melt, and lifts it again.
func TestMelt_liftedTwice(t *testing.T) {
	for _, look := range []plateau.Mark{plateau.NoMark, plateau.MarkLookClumps} {
		for _, back := range []float64{3, 5, 8} {
			k := dryMelt(174, 300, look)
			k.lift(30, 50, 40)
			first := len(k.rows)
			k.run(back, nil)
			k.lift(60, 50, 40)
			for _, r := range k.rows[first:] {
				if r.a.Phase != plateau.Melt || r.truth > 182 && !r.a.Standing.Has(plateau.Burn) {
					t.Errorf("%v, back for %.0f s: %v, prompts %v at %.0f °C", look, back, r.a.Phase, r.a.Standing, r.truth)
					break
				}
			}
		}
	}
}

// TestBurn_briefLift lifts the tip for a look while the melt is about to burn.
func TestBurn_briefLift(t *testing.T) {
	for _, air := range []float64{40, 70, 100} {
		k := dryMelt(181, 300, plateau.NoMark)
		first := len(k.rows)
		k.lift(5, air, 60)
		k.run(30, nil)
		for _, r := range k.rows[first:] {
			if !r.a.Standing.Has(plateau.Burn) {
				t.Errorf("air %.0f °C: the warning went at %v, %.1f °C", air, r.at, r.truth)
				break
			}
		}
	}
}

// TestMelt_coldPocket pours cream from the refrigerator in one go, untold, and
// leaves it round the tip until it is stirred in. It stays cream, a pot that
// may seize stays one, and is pulled in the end.
func TestMelt_coldPocket(t *testing.T) {
	for _, watts := range []float64{350, 600} {
		for _, deep := range []float64{15, 30, 45} {
			for _, g := range []float64{120, 240} {
				k := dryMelt(174, watts, plateau.MarkLookClear)
				k.hush, k.creamC, k.pour, k.pending = true, 5, 60, g
				first := len(k.rows)
				k.pocket = deep
				k.run(12, nil)
				k.pocket = 0
				k.run(3000, func(plateau.Advice) bool { return k.t > k.rows[first].at.Seconds()+60 && k.c > 114.5 })
				seized := false
				for i, r := range k.rows[first:] {
					if i > 10 && r.a.Phase < plateau.Cream && r.a.Fault == probe.FaultNone {
						t.Errorf("%.0f W, %.0f K, %.0f g: %v after %d s", watts, deep, g, r.a.Phase, i)
						break
					}
					if seized && r.a.Fault == probe.FaultLifted && !r.a.Standing.Has(plateau.Seize) {
						t.Errorf("%.0f W, %.0f K, %.0f g: seize goes as the tip is thought lifted, after %d s", watts, deep, g, i)
						break
					}
					seized = r.a.Standing.Has(plateau.Seize)
				}
				if n, _ := k.count(plateau.PullNow); n == 0 {
					t.Errorf("%.0f W, %.0f K, %.0f g: never pulled", watts, deep, g)
				}
			}
		}
	}
}

// TestMelt_sugarAdded puts more cold sugar into the melt. Told of, it is neither
// a lifted tip nor cream.
func TestMelt_sugarAdded(t *testing.T) {
	for _, look := range []plateau.Mark{plateau.NoMark, plateau.MarkLookClumps} {
		for _, g := range []float64{60, 120} {
			for _, at := range []float64{162, 172} {
				k := dryMelt(at, 350, look)
				k.mark(plateau.MarkAdded)
				first := len(k.rows)
				for range 10 {
					jk := k.heatCapacity()
					k.mix.Solutes += g / 10
					k.c = 22 + (k.c-22)*jk/k.heatCapacity()
					k.run(1, nil)
				}
				k.run(3000, func(plateau.Advice) bool { return k.c > 191 })
				for _, r := range k.rows[first:] {
					if r.a.Phase != plateau.Melt || r.a.Fault == probe.FaultLifted {
						t.Errorf("%v, %.0f g at %.0f °C: %v %v at %v", look, g, at, r.a.Phase, r.a.Fault, r.at)
						break
					}
				}
				if n, _ := k.count(plateau.Burn); n == 0 {
					t.Errorf("%v, %.0f g at %.0f °C: never warned", look, g, at)
				}
			}
		}
	}
}
