package main

import (
	"fmt"
	"math"

	"boildown/probe"
	"boildown/sessions"
)

// planHand is what past batches say of the pull and of the cooling pot. Zeros
// where they say nothing.
type planHand struct {
	ReactionS float64 `json:"reaction_s"`
	CarryK    float64 `json:"carry_over_k"`
	From      int     `json:"from_batches"` // the fewer of the two
	// From the pull to the dip window, and how long it stays open.
	DipOpensS  float64 `json:"dip_opens_s"`
	DipLastsS  float64 `json:"dip_lasts_s"`
	CoolingN   int     `json:"cooling_batches"`
	CoolingTau float64 `json:"cooling_s"`
}

// plannedRoomC is the kitchen that a pot cools in where nobody measured it; a
// cooling constant is learned against the same figure.
const plannedRoomC = 22.0

func newPlanHand(p *plan, h sessions.Habits) planHand {
	var hand planHand
	if d, ok := h.PullReaction(); ok {
		hand.ReactionS, hand.From = d.Seconds(), h.Reaction.N
	}
	if k, ok := h.PullCarryOver(); ok {
		hand.CarryK = float64(k)
		if hand.From == 0 || h.CarryOver.N < hand.From {
			hand.From = h.CarryOver.N
		}
	}
	e := p.Endpoint
	if c := h.Cooling; p.recipe.Dips && c.N > 0 && e.TargetC > e.DipOpenC && e.DipOpenC > e.DipCloseC && e.DipCloseC > plannedRoomC {
		// Newton's law of cooling: ln(T − room) falls evenly.
		takes := func(from, to float64) float64 {
			return c.Median * math.Log((from-plannedRoomC)/(to-plannedRoomC))
		}
		hand.CoolingTau, hand.CoolingN = c.Median, c.N
		hand.DipOpensS, hand.DipLastsS = takes(e.TargetC, e.DipOpenC), takes(e.DipOpenC, e.DipCloseC)
	}
	return hand
}

// write says what was learned, and nothing where nothing was.
func (h planHand) write(out *page, u probe.Unit) {
	switch {
	case h.ReactionS > 0 && h.From > 0:
		out.line("your hand", "%.1f s from prompt to pull, %s of carry-over, learned from %s: cook prompts that much ahead unless --reaction or --carry-over say otherwise",
			h.ReactionS, u.Diff(probe.Delta(h.CarryK), 1), batches(h.From))
	case h.From > 0:
		out.line("your hand", "%s of carry-over, learned from %s: cook prompts that much ahead unless --carry-over says otherwise", u.Diff(probe.Delta(h.CarryK), 1), batches(h.From))
	}
	if h.CoolingN > 0 {
		out.line("cools", "the dip window opens about %s after the pull and lasts about %s, by how fast the pot cooled in %s, in a room of %s",
			minuteWords(h.DipOpensS), minuteWords(h.DipLastsS), batches(h.CoolingN), u.Temp(plannedRoomC, 0))
	}
}

// minuteWords writes seconds as a cook would say them.
func minuteWords(s float64) string {
	if s < 90 {
		return fmt.Sprintf("%.0f s", math.Round(s/5)*5)
	}
	return fmt.Sprintf("%.1f min", s/60)
}
