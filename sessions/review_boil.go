package sessions

import (
	"fmt"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

func (rv *review) judgeMelt() {
	end := rv.until(rv.cream)
	if rv.melt == noTime || rv.melt >= end {
		return
	}
	hottest, at := probe.Celsius(0), noTime
	for p := range rv.between(rv.melt, end) {
		if p.ok && p.now > hottest {
			hottest, at = p.now, p.at
		}
	}
	if hottest > probe.Celsius(meltBurns.value) {
		level := Minor
		if hottest > probe.Celsius(meltBurns.value)+10 {
			level = Serious
		}
		rv.add("melt-hot", level, float64(hottest)-meltBurns.value, at, Finding{
			What:    fmt.Sprintf("The melt reached %s.", rv.temp(hottest)),
			Against: rv.temp(probe.Celsius(meltBurns.value)), Why: "Beyond it sugar turns dark and bitter within seconds.",
			Next: "Take the pot off the heat when the last crystals are nearly gone; the melt goes on by itself.",
		})
	}
	if long := (end - rv.melt).Seconds(); rv.cream != noTime && long > meltLong.value {
		rv.add("melt-long", Minor, long/meltLong.value, rv.melt, Finding{
			What:    fmt.Sprintf("The melt took %s.", clock(end-rv.melt)),
			Against: clock(time.Duration(meltLong.value) * time.Second), Why: "Colour and bitterness grow with the time that sugar stands hot.",
			Next: "Melt a little sugar at a time, or turn the heat up a step.",
		})
	}
}

// judgeCream judges the coldest moment while cream goes in.
func (rv *review) judgeCream() {
	to := rv.until(rv.stall)
	if rv.creamEnd != noTime {
		to = rv.creamEnd + 30*time.Second
	}
	if rv.cream == noTime {
		return
	}
	coldest, at := probe.Celsius(math.Inf(1)), noTime
	for p := range rv.between(rv.cream, to) {
		if p.ok && p.c < coldest {
			coldest, at = p.c, p.at
		}
	}
	pressure := rv.session.Header.Config.Pressure
	if pressure == 0 {
		pressure = syrup.StandardPressure
	}
	under := syrup.WaterBoils(pressure) - float64(coldest)
	if at == noTime || under <= creamFloor.value {
		return
	}
	level := Minor
	if under > creamCold.value {
		level = Serious
	}
	rv.add("cream-fast", level, under/creamFloor.value, at, Finding{
		What:    fmt.Sprintf("The cream went in faster than the pot could warm it: the pot fell to %s.", rv.temp(coldest)),
		Against: "water's boiling point, under which no syrup boils",
		Why:     "Sugar that is cooled so far sets into lumps, which melt slowly and may leave grain.",
		Next:    "Warm the cream, pour less at a time, and wait for the bubbling to return before the next portion.",
	})
}

// judgeGrain looks for sugar that was not melted when the cream came.
func (rv *review) judgeGrain() {
	if rv.session.Label.Outcome.Grain {
		rv.add("grain", Spoiled, 1, max(rv.creamEnd, 0), Finding{
			What: "The batch grained, as its outcome says.", Against: "a smooth sweet", Why: "Crystals grow from any that were left or stirred in.",
			Next: "Wait until the melt is clear, wipe the wall of the pot, and do not stir once it boils.",
		})
		return
	}
	if rv.cream == noTime {
		return
	}
	look := plateau.NoMark
	at := noTime
	for _, m := range rv.marks {
		if m.at > rv.cream {
			break
		}
		switch m.mark {
		case plateau.MarkLookDry, plateau.MarkLookClumps, plateau.MarkLookColouring, plateau.MarkLookClear, plateau.MarkCrystalsGone:
			look, at = m.mark, m.at
		}
	}
	if look == plateau.MarkLookDry || look == plateau.MarkLookClumps {
		rv.add("grain-likely", Serious, 1, at, Finding{
			What: "Cream went in while the last look showed sugar that was not melted.", Against: "a clear melt",
			Why:  "Crystals that are left seed others: the sweet may turn grainy.",
			Next: "Wait for the clear look before the first cream.",
		})
	}
}

// judgeHeat judges what was done with the knob on the climb.
func (rv *review) judgeHeat() {
	if rv.climb == noTime {
		return
	}
	to := rv.until(rv.pull)
	lowered := false
	for _, m := range rv.marks {
		lowered = lowered || m.mark == plateau.MarkHeatDown && m.at >= max(rv.stall, 0) && m.at < to
		if m.mark == plateau.MarkHeatUp && m.at > rv.climb && m.at < to {
			rv.add("heat-up", Minor, 1, m.at, Finding{
				What: "The heat was turned up on the climb.", Against: "a heat that only goes down from there",
				Why: "The last degrees come fastest, and more heat leaves no time for the pull.", Next: "Leave the heat down; the climb quickens by itself.",
			})
		}
	}
	// Without any mark of the knob or the pull nothing is known of the hand.
	slope := rv.slopeAt(min(to, rv.end))
	if !lowered && len(rv.marks) > 0 && rv.pull != noTime {
		level := Note
		if slope > steepPull.value/2 {
			level = Minor
		}
		rv.add("heat-not-lowered", level, slope/steepPull.value, rv.climb, Finding{
			What:    fmt.Sprintf("The heat was not turned down on the climb, which ended at %s.", rv.per(slope)),
			Against: "common practice: heat down when the pot leaves the stall",
			Why:     "At full heat the last degrees pass in seconds.", Next: "Turn the heat down at the prompt, or press its key if you did.",
		})
	}
}

func (rv *review) judgeStallLength() {
	if rv.stall == noTime || rv.climb == noTime || rv.climb <= rv.stall {
		return
	}
	long := rv.climb - rv.stall
	if rv.usual.N >= usualLeast {
		off := long.Seconds()/rv.usual.Stall.Seconds() - 1
		if math.Abs(off) > stallOff.value {
			kind, side, next := "stall-long", "longer", "Look at the heat, the lid, and whether more cream or water went in than usual."
			if off < 0 {
				kind, side, next = "stall-short", "shorter", "Look at the heat, and whether less cream went in than usual."
			}
			rv.add(kind, Minor, math.Abs(off)/stallOff.value, rv.stall, Finding{
				What:    fmt.Sprintf("The stall took %s, %.0f %% %s than usual.", clock(long), 100*math.Abs(off), side),
				Against: fmt.Sprintf("a median of %s in %d batches of this recipe", clock(rv.usual.Stall), rv.usual.N),
				Why:     "Flavour and colour come from the time in the boil, and the amount of water from the recipe.", Next: next,
			})
		}
		return
	}
	if long.Seconds() > stallTooLong.value {
		rv.add("stall-long", Minor, long.Seconds()/stallTooLong.value, rv.stall, Finding{
			What:    fmt.Sprintf("The stall took %s.", clock(long)),
			Against: clock(time.Duration(stallTooLong.value) * time.Second), Why: "A long boil browns the milk and splits sugar.", Next: "Use more heat in the stall; it is safe there, while there is water.",
		})
	}
}

// judgeNoRise finds a heat that could not get there: the pot fell back, or the
// program had to say that it was not on its way.
func (rv *review) judgeNoRise() {
	var stood time.Duration
	begun, last := noTime, noTime
	hottest := probe.Celsius(0)
	said, told := false, map[time.Duration]bool{}
	for _, m := range rv.prompts {
		if m.Prompt == plateau.NotRising {
			told[m.At] = true
		}
	}
	for p := range rv.between(rv.stall, rv.until(rv.pull)) {
		if p.ok {
			hottest = max(hottest, p.now)
		}
		said = said && !p.forecast.Ok() || told[p.at]
		if said || p.ok && p.now < hottest-probe.Celsius(fellBack.value) {
			if last != noTime {
				stood += min(p.at-last, SilenceAfter)
			}
			if begun == noTime {
				begun = p.at
			}
		}
		last = p.at
	}
	if stood.Seconds() > noRise.value {
		rv.add("not-rising", Minor, stood.Seconds()/noRise.value, begun, Finding{
			What:    fmt.Sprintf("For %s the heat was too low for the pot to get on.", clock(stood)),
			Against: "a pot that climbs", Why: "The batch stands hot without losing water.", Next: "Turn the heat up a step when the program says so.",
		})
	}
}

func (rv *review) judgeDip() {
	at := rv.markAt(plateau.MarkDip)
	if at == noTime || rv.pull == noTime || at < rv.pull {
		return
	}
	c, ok := rv.at(at)
	if !ok {
		return
	}
	cfg := rv.session.Header.Config
	hot, cool := cfg.DipOpen, cfg.DipClose
	if hot == 0 {
		hot = probe.Fahrenheit(215)
	}
	if cool == 0 {
		cool = probe.Fahrenheit(210)
	}
	window := fmt.Sprintf("a dip window from %s to %s", rv.temp(hot), rv.temp(cool))
	switch {
	case float64(c-hot) > dipHot.value:
		rv.add("dip-hot", Minor, float64(c-hot)/dipHot.value, at, Finding{
			What: fmt.Sprintf("Dipping began at %s, %s too hot.", rv.temp(c), rv.diff(float64(c-hot))), Against: window,
			Why: "A thin coat runs off and puddles.", Next: "Wait for the dip prompt.",
		})
	case float64(cool-c) > dipLate.value:
		rv.add("dip-late", Minor, float64(cool-c)/dipLate.value, at, Finding{
			What: fmt.Sprintf("Dipping began at %s, %s too cool.", rv.temp(c), rv.diff(float64(cool-c))), Against: window,
			Why: "A coat that is too stiff drags and does not level.", Next: "Have everything laid out at the pull, or warm the pot a little.",
		})
	}
}
