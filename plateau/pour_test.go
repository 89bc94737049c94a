package plateau_test

import (
	"fmt"
	"math"
	"testing"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// Between two portions of cream a pot may stand at its target or far over it:
// where nothing was marked, nobody is called to pull it for that. When it gets
// there by boiling down it is pulled, marks or no marks. A pause of half a
// minute cannot be told from that.
func TestUnmarkedPortionsRaiseNoPull(t *testing.T) {
	for _, target := range []float64{226, 235, 245} {
		for _, watts := range []float64{600, 1000} {
			for _, gap := range []float64{12, 20} {
				t.Run(fmt.Sprintf("%.0f °F, %.0f W, a portion each %.0f s", target, watts, gap), func(t *testing.T) {
					t.Parallel()
					cfg := dipping()
					cfg.Target = probe.Celsius((target - 32) / 1.8)
					cfg.Pressure = syrup.StandardPressure
					k := newKitchen(cfg)
					k.hush, k.watts, k.pour = true, watts, 25
					k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
					for range 8 {
						k.pending += 60
						k.run(gap, func(a plateau.Advice) bool {
							if a.Began.Has(plateau.PullNow) || a.Began.Has(plateau.Scorch) {
								t.Errorf("%v %v at %.1f °C, with %.0f g of cream to come", a.At, a.Began, k.c, k.pending)
							}
							return false
						})
					}
					if !k.run(6000, func(a plateau.Advice) bool { return a.Began.Has(plateau.PullNow) }) || math.Abs(k.c-float64(cfg.Target)) > 1 {
						t.Errorf("pulled at %.1f °C, wanted %.1f", k.c, cfg.Target)
					}
				})
			}
		}
	}
}

// A little cream in one go, of which nothing was marked, brings the pot to its
// target within a minute or two. It is pulled there, also where the probe
// touches the hot bottom on the way.
func TestLittleUnmarkedCreamIsPulledInTime(t *testing.T) {
	for _, touch := range []float64{0, 2.5, 5} {
		for _, grams := range []float64{170, 190, 210} {
			k := newKitchen(dipping())
			k.hush, k.creamC, k.pour = true, 5, 10
			k.run(3000, func(plateau.Advice) bool { return k.c >= 172 })
			k.pending = grams
			touched := touch == 0
			k.run(3000, func(a plateau.Advice) bool {
				if !touched && k.c > 112 && k.c < 113 {
					touched = true
					k.shown += touch
				}
				return a.Began.Has(plateau.PullNow)
			})
			if over := k.c - float64(dipping().Target); over < -1 || over > 0.3 {
				t.Errorf("touch of %v K, %.0f g: pulled %+.1f K from the target", touch, grams, over)
			}
		}
	}
}
