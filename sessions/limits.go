package sessions

import "boildown/probe"

// limit is a threshold of the review with the reason for it. Where no source
// is named the figure is a choice of this program.
type limit struct {
	value  float64
	reason string
}

// The review's thresholds, all in one place. A difference of 5 °F between
// endpoints gives a wholly different texture (common practice, no source), and
// a cook aims within a degree or two; the levels follow from that.
var (
	offNote    = limit{fahrenheits(1), "1 °F is about what a probe and a hand allow"}
	offMinor   = limit{fahrenheits(2), "a cook aims within a degree or two (common practice, no source)"}
	offSerious = limit{fahrenheits(3), "more than half of what changes the texture"}
	offSpoiled = limit{fahrenheits(5), "5 °F apart is another sweet (common practice, no source)"}

	scorchOver = limit{5, "5 °C past the target on the heat is where this program warns of scorching"}

	meltBurns = limit{190, "sugar that heads past 190 °C turns dark and bitter; this program warns there"}
	meltLong  = limit{25 * 60, "seconds of dry melt; small batches take under ten minutes, and colour grows with time"}

	creamFloor = limit{8, "K under water's boiling point: no syrup boils there, so the cream cools faster than the pot heats"}
	creamCold  = limit{18, "K under water's boiling point: sugar sets hard well before this"}

	steepPull = limit{fahrenheits(7), "°C/min: at 7 °F/min nine seconds cost the degree that a cook aims within"}
	slowPull  = limit{12, "seconds from the pull prompt to the pull; a hand beside the pot needs two"}

	dipHot  = limit{fahrenheits(2), "over the dip window's hot end the coat runs off"}
	dipLate = limit{fahrenheits(2), "under its cool end the coat is thick and will not level"}

	stallOff     = limit{0.35, "share by which a stall differs from this recipe's usual; hob and pot vary by a tenth or two"}
	stallTooLong = limit{40 * 60, "seconds: with a common recipe the water is off in ten minutes"}

	gapMattered = limit{4, "seconds without a usable reading within 10 °F of the target: a climb makes a degree in that time"}
	gapLong     = limit{30, "seconds without a usable reading anywhere"}
	doubtShare  = limit{0.05, "share of readings that could not be used"}

	carryOver = limit{fahrenheits(2), "rise after the pull beyond what the program was told"}

	misled     = limit{0.30, "share of the remaining time by which the forecast was wrong"}
	misledHalf = limit{0.5, "share of the forecasts that left the arrival outside their 80 % interval"}
	noRise     = limit{120, "seconds in which the pot on the heat did not get on"}
	fellBack   = limit{1.5, "K under the hottest so far: more than stirring and noise do"}
)

func fahrenheits(f float64) float64 { return float64(probe.DeltaF(f)) }
