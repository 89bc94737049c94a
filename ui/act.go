package ui

import "boildown/plateau"

// level is how loudly something is said.
type level uint8

const (
	calm  level = iota // nothing is asked
	do                 // something is asked
	alarm              // it is late, or about to be
)

// act is the one thing to do now.
type act struct {
	prompt plateau.Prompt
	has    bool // prompt holds one that stands; else the phase alone speaks
	quiet  bool // the cook has acknowledged it
	shout  string
	brief  string // the same where the shout is too wide for large letters
	level  level
	mark   plateau.Mark // what space marks
	ack    bool         // what space does is acknowledge
	space  string       // what space does, in words
}

// shouts are the loud lines, the most urgent first. They are short enough to
// stand in large letters on 80 columns.
var shouts = []act{
	{prompt: plateau.Scorch, shout: "OFF THE HEAT", brief: "OFF!", level: alarm, mark: plateau.MarkPull, space: "it is off the heat"},
	{prompt: plateau.PastTarget, shout: "PAST IT: PULL", brief: "PULL!", level: alarm, mark: plateau.MarkPull, space: "it is off the heat"},
	{prompt: plateau.PullNow, shout: "PULL NOW", level: alarm, mark: plateau.MarkPull, space: "it is off the heat"},
	{prompt: plateau.Burn, shout: "OFF THE HEAT", brief: "OFF!", level: alarm, ack: true, space: "I have seen it"},
	{prompt: plateau.Seize, shout: "STOP POURING", brief: "STOP!", level: alarm, ack: true, space: "I have seen it"},
	{prompt: plateau.HoldCream, shout: "HOLD CREAM", brief: "HOLD", level: do, ack: true, space: "I have seen it"},
	{prompt: plateau.BoilOver, shout: "FOAM RISES", brief: "FOAM!", level: alarm, ack: true, space: "I am watching it"},
	{prompt: plateau.ProbeFault, shout: "CHECK PROBE", brief: "PROBE?", level: alarm, ack: true, space: "I have seen it"},
	{prompt: plateau.DipClosing, shout: "DIP FAST", level: do, mark: plateau.MarkDip, space: "a piece is dipped"},
	{prompt: plateau.DipOpen, shout: "DIP NOW", level: do, mark: plateau.MarkDip, space: "a piece is dipped"},
	{prompt: plateau.NearTarget, shout: "GET READY", brief: "READY!", level: do, ack: true, space: "I am at the pot"},
	{prompt: plateau.LowerHeat, shout: "HEAT DOWN", brief: "LOWER", level: do, mark: plateau.MarkHeatDown, space: "the heat is down"},
	{prompt: plateau.AddCream, shout: "ADD CREAM", brief: "CREAM", level: do, mark: plateau.MarkCreamStart, space: "the first cream is in"},
	{prompt: plateau.NotRising, shout: "MORE HEAT", brief: "HOTTER", level: do, mark: plateau.MarkHeatUp, space: "the heat is up"},
	{prompt: plateau.Stir, shout: "SCRAPE POT", brief: "SCRAPE", level: do, ack: true, space: "it is scraped"},
	{prompt: plateau.Sample, shout: "TAKE A LOOK", brief: "LOOK", level: do, ack: true, space: "I have looked (1 to 4 say how)"},
	{prompt: plateau.Swirl, shout: "SWIRL IT", level: do, ack: true, space: "it is swirled"},
	{prompt: plateau.DipClosed, shout: "TOO COOL", level: do, ack: true, space: "I have seen it"},
	{prompt: plateau.Stalled, shout: "WAIT", level: calm, ack: true, space: "I have seen it"},
}

// phaseActs speak when no prompt stands.
var phaseActs = map[plateau.Phase]act{
	plateau.Wait:   {shout: "READY", mark: plateau.MarkMeltStart, space: "sugar in, heat on"},
	plateau.Melt:   {shout: "MELTING"},
	plateau.Cream:  {shout: "POUR SLOWLY", brief: "POUR", mark: plateau.MarkCreamEnd, space: "the last cream is in"},
	plateau.Stall:  {shout: "WAIT"},
	plateau.Climb:  {shout: "STAY CLOSE", brief: "CLOSE"},
	plateau.Pulled: {shout: "COOLING"},
	plateau.Dip:    {shout: "DIP NOW", level: do, mark: plateau.MarkDip, space: "a piece is dipped"},
	plateau.Done:   {shout: "DONE"},
}

// actFor picks what to say loudest: the most urgent prompt that has not been
// acknowledged, else the most urgent of those that have, else the phase.
func actFor(a plateau.Advice) act {
	var heard act
	for _, s := range shouts {
		if !a.Standing.Has(s.prompt) {
			continue
		}
		if s.prompt == plateau.AddCream && a.Phase == plateau.Cream { // the first has been told
			s.mark, s.space = plateau.MarkCreamEnd, phaseActs[plateau.Cream].space
			if a.CreamAll {
				s.shout, s.brief = "ALL IN?", ""
			}
		}
		s.has = true
		if !a.Quiet.Has(s.prompt) {
			return s
		}
		if !heard.has {
			s.quiet = true
			heard = s
		}
	}
	if heard.has {
		if heard.ack {
			heard.ack, heard.space = false, ""
		}
		return heard
	}
	return phaseActs[a.Phase]
}

// phaseSentence stands under the loud line when no prompt does.
func phaseSentence(a plateau.Advice) string {
	switch a.Phase {
	case plateau.Wait:
		return "Sugar in the pot, tip of the probe covered, handle turned in."
	case plateau.Melt:
		return "Swirl, do not leave it. Keys 1 to 4 say how it looks."
	case plateau.Cream:
		return "A little at a time, warm, and let it boil up before the next."
	case plateau.Stall:
		return "Water is boiling off. The thermometer stands still until it is nearly gone."
	case plateau.Climb:
		return "It goes fast from here. Keep the heat low and your eyes on the pot."
	case plateau.Pulled:
		return "The pot goes on rising a little, then cools to the dip."
	case plateau.Dip:
		return "The coat is thick enough to hold and warm enough to run."
	}
	return "The batch is over. Press q to close it."
}

// urgent reports whether the screen flashes: a pull is due and has been
// neither made nor acknowledged.
func urgent(a plateau.Advice) bool {
	for _, p := range [...]plateau.Prompt{plateau.PullNow, plateau.PastTarget, plateau.Scorch} {
		if a.Standing.Has(p) && !a.Quiet.Has(p) {
			return true
		}
	}
	return false
}

// promptShort names a prompt on the chart.
func promptShort(p plateau.Prompt) string {
	switch p {
	case plateau.AddCream:
		return "cream?"
	case plateau.HoldCream:
		return "hold"
	case plateau.LowerHeat:
		return "lower"
	case plateau.NearTarget:
		return "near"
	case plateau.PastTarget:
		return "past"
	case plateau.DipOpen:
		return "dip"
	case plateau.DipClosing:
		return "closing"
	case plateau.DipClosed:
		return "closed"
	case plateau.BoilOver:
		return "foam"
	case plateau.NotRising:
		return "no rise"
	}
	return p.String()
}
