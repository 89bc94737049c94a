package main

import (
	"fmt"
	"slices"
	"strings"

	"boildown/probe"
)

// planReady is what must lie ready before the heat goes on: once the sugar
// melts no hand is free.
func planReady(p *plan) []string {
	r := p.recipe
	var list []string
	for _, part := range p.Weigh {
		switch part.When {
		case inMelt.String():
			list = append(list, fmt.Sprintf("%s %s, in the pot", gramsWords(part.Grams), part.Food))
		case inCream.String():
			list = append(list, fmt.Sprintf("%s %s, warmed until it steams (%.0f °C, %.0f °F), in a jug that pours slowly", gramsWords(part.Grams), part.Food, plannedCreamC, probe.Celsius(plannedCreamC).F()))
			if c := probe.Celsius(p.Cream.CreamC); p.Cream.TotalG > 0 && c != plannedCreamC {
				list[len(list)-1] += fmt.Sprintf(", and poured at some %.0f °C, %.0f °F", c, c.F())
			}
		default:
			list = append(list, fmt.Sprintf("%s %s, to stir in off the heat", gramsWords(part.Grams), part.Food))
		}
	}
	list = append(list,
		fmt.Sprintf("the probe, its tip in the syrup and off the bottom; in boiling water it reads %.1f °F today, or its offset is known", probe.Celsius(p.Endpoint.WaterBoilsC).F()),
		"a dry heatproof spatula or a long spoon, and a trivet by the stove",
	)
	switch {
	case r.Dips && p.Yield > 0:
		list = append(list, fmt.Sprintf("%.0f %s, dry and at room temperature, within reach of the pot", p.Yield, p.YieldOf), "a lined tray to set them on")
	case r.Dips:
		list = append(list, "what you dip, dry and at room temperature, within reach of the pot", "a lined tray to set it on")
	default:
		list = append(list, "a lined tin to pour into")
	}
	return append(list, "a bowl of cool water that a hand fits in, and a free tap")
}

// planCautions are the usual cautions, those of this batch first.
func planCautions(p *plan) []string {
	r, pot := p.recipe, p.Pot
	var list []string
	if p.Endpoint.PressurePa == 0 && r.AtSeaLevel {
		list = append(list, "The target is a sea-level figure and nothing says how high you are: it falls by 2 °F for each 1000 ft. Add --altitude or, better, --water-boils.")
	}
	if p.Water.OffG < 0.05*p.Water.InG {
		list = append(list, "There is hardly any water to boil off: the pot is at its endpoint as soon as it boils. Check the amounts.")
	}
	if r.Dips && p.Endpoint.DipOpenC >= p.Endpoint.TargetC {
		list = append(list, "The dip window opens at or above the target: dip as soon as the pot is pulled and no longer boils, or set another window in the recipe.")
	}
	switch {
	case pot.HoldsML == 0:
		list = append(list, "The recipe does not say what pot: take one of three to four times the finished volume, or it boils over.")
	case pot.Tight:
		list = append(list, fmt.Sprintf("This pot holds only %.1f times the finished batch: it may boil over. Three to four times is common practice. Take a larger pot or cook less.", pot.Room))
	}
	if pot.Shallow {
		list = append(list, fmt.Sprintf("The finished batch stands %.1f cm deep and a dip needs %.1f cm: take a narrower pot or cook more. Do not pour hot caramel over into a jug to dip.", pot.DepthCM, pot.NeedsCM))
	}
	if pot.MeltDepthCM > 0 && pot.MeltDepthCM < meltCoversCM {
		list = append(list, fmt.Sprintf("The melt stands only %.1f cm deep: tilt the pot to cover the probe's tip, or its reading means nothing.", pot.MeltDepthCM))
	}
	if r.Dips && slices.ContainsFunc(r.Parts, func(q part) bool { return q.Stage != inAfter && strings.Contains(q.Food.Name, "butter") }) {
		list = append(list, "Butter in a dip makes the coat slide off (common practice).")
	}
	if p.Cream.TotalG > 0 {
		list = append(list, fmt.Sprintf("Cream into hot sugar spits and steams: pour at arm's length, long sleeves, face away. 40 g of it cold makes some %.0f L of steam at once; cold and fast it also seizes the sugar.", p.Cream.SteamL))
	}
	if meltsDry(r) {
		list = append(list, wetMethod)
	}
	if r.Pot.NonStick {
		list = append(list, "Do not melt sugar dry in a non-stick pan: the pan under it is far hotter than the sugar, its coating breaks down above 260 °C (500 °F), and the fumes harm people and kill birds. Use bare steel or copper.")
	}
	return append(list, usualCautions...)
}

// wetMethod is the way out when sugar will not melt evenly: common practice, no
// source.
const wetMethod = "If the sugar will not melt evenly (clumps that colour before they melt), turn the heat down, swirl, and press them under. If they stay, start over by the wet method: 1 part water to 3 of sugar, heated gently until no grain is left, then boiled unstirred to the same colour. No water into sugar that is already hot."

// meltsDry reports whether sugar melts in the pot without water.
func meltsDry(r *recipe) bool {
	b := r.Batch.Melt
	return b.Solutes > 0 && b.Water < 0.02*b.Solutes
}

// usualCautions hold for every batch. They promise nothing.
var usualCautions = []string{
	"Melted sugar and caramel burn deeply and stick, in the dip window too. Closed shoes, long sleeves, handle turned in, an adult lifts the pot; children and pets out of reach. Never leave it.",
	"A burn: 20 min under cool running water, no ice, no butter; sugar that sticks is cooled first, not pulled. A doctor for every child's burn, and for face, hands, or more than 3 cm.",
	"boildown is an aid: the alarm never replaces a person at the stove. In a business, local codes and licensed practice come first.",
}

// gramsWords writes a mass as a kitchen scale shows it.
func gramsWords(g float64) string {
	if g < 20 {
		return fmt.Sprintf("%.1f g", g)
	}
	return fmt.Sprintf("%.0f g", g)
}
