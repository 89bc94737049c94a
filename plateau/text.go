package plateau

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// Text returns what to do, in a short sentence or two that begin with the act
// and carry the number that matters, on the cook's scale. The caution that
// goes with it comes last, so that a sentence cut short still says the act.
func (p Prompt) Text(a Advice, u probe.Unit) string {
	if p >= promptCount {
		return ""
	}
	if f := texts[p]; f != nil {
		return f(a, u)
	}
	return ""
}

var texts = [promptCount]func(Advice, probe.Unit) string{
	Swirl:      swirlText,
	Sample:     sampleText,
	AddCream:   addCreamText,
	HoldCream:  holdCreamText,
	Stalled:    stalledText,
	LowerHeat:  lowerHeatText,
	NearTarget: nearText,
	PullNow:    pullText,
	PastTarget: pastText,
	DipOpen:    dipOpenText,
	DipClosing: dipClosingText,
	DipClosed: func(a Advice, u probe.Unit) string {
		return "Too cool to dip: under " + u.Temp(a.DipClose, 0) + ". Warm it gently, stirring; it still burns skin."
	},
	Burn: burnText,
	Scorch: func(a Advice, u probe.Unit) string {
		return "Off the heat now: " + u.Diff(a.Past(), 0) + " over and scorching. Warm cream by the spoon, arm's length, long sleeves; no cold cream, no water."
	},
	Seize: func(a Advice, u probe.Unit) string {
		return "Stop the cream, the sugar may seize: " + u.Temp(a.Now, 0) + ". Low heat, stir until the lumps melt; mind the steam."
	},
	BoilOver: func(Advice, probe.Unit) string {
		return "Watch the foam: stand back from the steam. Turn down if it reaches two thirds of the pot."
	},
	Stir:       func(Advice, probe.Unit) string { return "Scrape the bottom: milk catches there. Long sleeves." },
	NotRising:  notRisingText,
	ProbeFault: probeText,
}

// addCreamText says how much can go in now: all of it poured at once leaves
// the pot above its floor.
func addCreamText(a Advice, u probe.Unit) string {
	if a.CreamAll {
		return "Jug empty? Mark the last cream: by the heat it took, all is in. If not, pour by the spoon, arm's length: steam."
	}
	t := "Add warm cream a little at a time: "
	switch rest := a.CreamPlanG - a.CreamInG; {
	case !a.HasCream || a.CreamG < 1:
	case a.CreamPlanG > 0 && a.CreamG > rest-leastPortion:
		t = "Pour the rest of the cream, slowly: "
	default:
		t = "Pour " + Spoons(a.CreamG) + " of cream, then wait: "
	}
	return t + u.Temp(a.Now, 0) + ". Stop if foam climbs. Arm's length, long sleeves: it spits steam."
}

func holdCreamText(a Advice, u probe.Unit) string {
	t := "Hold the cream"
	if a.CreamWait > 0 {
		t += " about " + spoken(max(a.CreamWait, 5*time.Second))
	}
	return t + ": " + u.Temp(a.Now, 0) + ", floor " + u.Temp(a.Floor, 0) + ". Stir."
}

// spoonG is a tablespoon of cream, g: 14.8 mL of it.
const spoonG = 14.8

// Spoons writes an amount of cream as a cook measures it, rounded down: "120 g
// (8 spoons)", a spoon being a tablespoon.
func Spoons(g float64) string {
	g = max(g, 0)
	if g >= 20 {
		g -= math.Mod(g, 5)
	}
	t := strconv.Itoa(int(g)) + " g"
	switch n := int(g / spoonG); {
	case n == 1:
		t += " (1 spoon)"
	case n > 1 && n < 20:
		t += " (" + strconv.Itoa(n) + " spoons)"
	}
	return t
}

// swirlText names the way out when the dry melt fails: sugar that colours in
// one place and is dry in another is better begun anew, with water.
func swirlText(a Advice, _ probe.Unit) string {
	if !a.Uneven {
		return "Swirl the sugar. Keep the handle turned in."
	}
	return "Heat down, press clumps under. If they stay, start over wet: 1 part water to 3 sugar, dissolve, boil. No water into this pot."
}

func sampleText(a Advice, u probe.Unit) string {
	t := "Look at the melt: dry, clumps, colouring or clear? " + u.Temp(a.Now, 0)
	if a.HasDark {
		t += ", too dark in " + spoken(a.Dark)
	}
	if c := MeltColour(a.Now); c != "" { // last, since a narrow screen cuts it
		t += ", by heat " + c
	}
	return t + "."
}

// MeltColour names the colour that dry melted sugar has at c and those that it
// may have as well, since charts and melts differ by 10 K: a hint, the
// eye decides. It is "" where sugar takes none.
func MeltColour(c probe.Celsius) string {
	likely, least, most := syrup.ColourAt(float64(c))
	switch {
	case c < sampleFromC:
		return ""
	case least == most:
		return likely.Name
	case least == likely:
		return likely.Name + " or " + most.Name
	case most == likely:
		return least.Name + " or " + likely.Name
	}
	return likely.Name + " (" + least.Name + " to " + most.Name + ")"
}

func stalledText(a Advice, u probe.Unit) string {
	t := "Let it boil: the stall at " + u.Temp(a.Now, 0)
	if a.Forecast.Ok() {
		t += ", " + u.Temp(a.Target, 0) + " in about " + spoken(a.Forecast.ETA)
	}
	return t + ". Stay with the pot."
}

func lowerHeatText(a Advice, u probe.Unit) string {
	return "Turn the heat down: " + u.Temp(a.Now, 0) + ", from here it climbs fast" + inAbout(a) + "."
}

func nearText(a Advice, u probe.Unit) string {
	left := max(a.Target-a.Now, 0)
	t := "Get ready to pull: " + u.Diff(probe.Delta(left), 0) + " to go"
	return t + inAbout(a) + ". Gloves on, a dry place to set it down."
}

func inAbout(a Advice) string {
	if !a.Forecast.Ok() {
		return ""
	}
	return ", about " + spoken(a.Forecast.ETA)
}

func pullText(a Advice, u probe.Unit) string {
	if a.Doubt != probe.FaultNone {
		return "Pull the pot: a guess, the probe is blind (" + a.Doubt.String() + "). Check with a spoon in cold water."
	}
	return "Pull the pot now: " + u.Temp(a.Now, 0) + ". Both hands, away from you."
}

// pastText says by how much and what can still be done, since a degree or two
// is another chew and ten another sweet (common practice, no source).
func pastText(a Advice, u probe.Unit) string {
	t := "Off the heat: " + u.Diff(a.Past(), 0) + " over. "
	switch past := a.Past().F(); {
	case past < 3:
		return t + "It sets a little firmer; nothing else need be done."
	case past < 8:
		return t + "Firmer chew. Warm cream by the spoon, arm's length, long sleeves; no cold cream, no water."
	}
	return t + "Another sweet now. Warm cream by the spoon, arm's length, long sleeves; no cold cream, no water."
}

func dipOpenText(a Advice, u probe.Unit) string {
	t := "Dip now: " + u.Temp(a.Now, 0)
	if a.HasDip {
		t += ", about " + spoken(a.DipLeft) + " of it"
	}
	return t + ". It still burns skin."
}

func dipClosingText(a Advice, u probe.Unit) string {
	t := "Dip the last pieces: " + u.Temp(a.Now, 0)
	if a.HasDip {
		t += ", " + spoken(a.DipLeft) + " left"
	}
	return t + "."
}

func burnText(a Advice, u probe.Unit) string {
	if a.HasNow && a.Now > spoiltC {
		return "Off the heat and leave it: burnt, " + u.Temp(a.Now, 0) + ", it smokes. Fan on, nobody near. No cream, no water; let it go cold."
	}
	if a.Doubt != probe.FaultNone {
		return "Off the heat, or the tip back in: a guess, the sugar may burn (" + a.Doubt.String() + "). Last " + u.Temp(a.Now, 0) + ". Look at its colour."
	}
	t := "Off the heat: the sugar burns at " + u.Temp(burntC, 0) + ", now " + u.Temp(a.Now, 0)
	if a.HasDark && a.Dark > 0 {
		t += ", " + strconv.Itoa(int(a.Dark.Seconds())) + " s left"
	}
	return t + ". Warm cream in, or set it down; no water."
}

func notRisingText(a Advice, u probe.Unit) string {
	return "More heat: this will not reach " + u.Temp(a.Target, 0) + ", it stands at " + u.Temp(a.Now, 0) + "."
}

func probeText(a Advice, u probe.Unit) string {
	t := "Check the probe"
	if a.Doubt != probe.FaultNone {
		t += ": " + a.Doubt.String()
	}
	t += "."
	switch what := remedies[a.Doubt]; {
	case a.Doubt == probe.FaultLifted && a.Phase == Melt: // cream makes it fall as well
		t += " Tip back into the syrup; if cream is in, mark it."
	case what != "":
		t += " " + what + "."
	}
	if !a.HasNow {
		return t
	}
	t += " Last " + u.Temp(a.Now, 0)
	if a.Forecast.Ok() {
		t += ", target by guess in " + spoken(a.Forecast.ETA)
	}
	return t + ". Watch the pot."
}

// remedies say what to do against each fault, with sticky hands.
var remedies = map[probe.Fault]string{
	probe.FaultEmpty:      "See what it sends",
	probe.FaultGarbled:    "Check its speed and its lead",
	probe.FaultOpen:       "Push the plug in, or change the lead",
	probe.FaultShort:      "Dry the plug, or change the lead",
	probe.FaultOverRange:  "Check plug and lead, and its type",
	probe.FaultPowerOn:    "It has just restarted: check its plug",
	probe.FaultReported:   "Read its own display",
	probe.FaultImpossible: "Wrong register, scale or unit",
	probe.FaultGone:       "Plug it in again",
	probe.FaultSilent:     "See that it is on and plugged in",
	probe.FaultJump:       "Check its plug and which channel is read",
	probe.FaultFrozen:     "Pull its plug and put it back",
	probe.FaultLifted:     "Put the tip back into the syrup",
	probe.FaultUncovered:  "Push the tip deeper or tilt the pot",
	probe.FaultUnit:       "It sends °F: start again with --probe-unit F",
	probe.FaultBottom:     "Lift the tip off the bottom and stir",
	probe.FaultNoise:      "Move its lead away from the hob",
}

// spoken writes a time as a cook says it: "40 s", "9 min", "1 h 05 min". Below
// two minutes it is rounded to 5 s, above to the minute: nobody acts finer.
func spoken(d time.Duration) string {
	if d = max(d, 0); d < 2*time.Minute {
		return strconv.Itoa(int(d.Round(5*time.Second).Seconds())) + " s"
	}
	d = d.Round(time.Minute)
	if h := int(d.Hours()); h > 0 {
		return fmt.Sprintf("%d h %02d min", h, int(d.Minutes())%60)
	}
	return strconv.Itoa(int(d.Minutes())) + " min"
}
