package pot_test

import (
	"fmt"
	"time"

	"boildown/probe"
	"boildown/probe/pot"
)

// The market-stall batch, boiling: how far is it to 235 °F, and how far when
// the heat is turned down now?
func Example() {
	cfg := pot.DefaultConfig()
	cfg.StartsBoil = true
	p := pot.New(cfg)
	p.Advance(5 * time.Minute)

	target := probe.Fahrenheit(235)
	at, _ := p.Arrival(target, time.Hour)
	p.Told("heat-down")
	later, _ := p.Arrival(target, time.Hour)
	fmt.Printf("%.0f °F, %.0f min to go, turned down %.0f min\n", p.True().F(), (at - p.Now()).Minutes(), (later - p.Now()).Minutes())
	// Output: 220 °F, 7 min to go, turned down 11 min
}
