package main

import (
	"fmt"
	"io"
	"strings"

	"boildown/probe"
)

// page gathers lines no wider than a terminal of 80 columns.
type page struct{ b strings.Builder }

const pageWidth = 78

// head writes a headline over what follows.
func (p *page) head(s string) { fmt.Fprintf(&p.b, "\n%s\n", s) }

// line writes a label and its text, wrapped under itself.
func (p *page) line(label, format string, args ...any) {
	const indent = 14
	p.wrap(fmt.Sprintf("  %-*s", indent-2, label), strings.Repeat(" ", indent), fmt.Sprintf(format, args...))
}

// item writes one point of a list.
func (p *page) item(bullet, s string) {
	p.wrap("  "+bullet+" ", strings.Repeat(" ", len([]rune(bullet))+3), s)
}

func (p *page) wrap(first, rest, s string) {
	line := first
	for i, word := range strings.Fields(strings.ReplaceAll(s, " °", "~°")) { // no line begins with a unit
		word = strings.ReplaceAll(word, "~°", " °")
		switch {
		case i > 0 && len([]rune(line))+1+len([]rune(word)) > pageWidth:
			p.b.WriteString(line + "\n")
			line = rest + word
		case i > 0:
			line += " " + word
		default:
			line += word
		}
	}
	p.b.WriteString(line + "\n")
}

// write prints the plan for the kitchen.
func (p *plan) write(w io.Writer, u probe.Unit) error {
	var out page
	temp := func(c float64) string { return u.Temp(probe.Celsius(c), 0) }
	fmt.Fprintf(&out.b, "%s%s\n", p.Recipe, p.scaleWords())

	out.head("Weigh")
	for _, part := range p.Weigh {
		label := gramsWords(part.Grams)
		text := part.Food + ", " + whenWords[part.When]
		if part.How != "" {
			text += " (" + part.How + ")"
		}
		out.line(label, "%s", text)
	}

	out.head("Boil")
	e := p.Endpoint
	out.line("pull at", "%s: %s", u.Temp(probe.Celsius(e.TargetC), 1), e.How)
	if e.Disagreement != "" {
		out.line("", "%s", e.Disagreement)
	}
	out.line("air", "%s", p.airWords(u))
	out.line("stall", "the whole pot first boils near %s; it stands still for long, up to about %s, and then climbs fast", temp(e.FirstBoilC), temp(e.StallEndsC))
	out.line("water", "%.0f g in (%.0f %% of all), %.0f g to boil off, %.0f g left (%.0f %%)",
		p.Water.InG, 100*p.Water.InShare, p.Water.OffG, p.Water.LeftG, 100*p.Water.LeftShare)
	m := p.Minutes
	out.line("time", "about %.0f min from the last cream, %.0f to %.0f, by %s", m.Likely, m.Low, m.High, m.From)
	p.Hand.write(&out, u)

	if c := p.Cream; c.TotalG > 0 {
		out.head("Cream")
		out.line("first", "up to %.0f g (%s), slowly, into a melt of %s, by cream of %s: no more than a third of it, as it foams, and the mix stays within %s of its boil. Cook names each portion; no more than %.0f g would keep the melt over %s",
			c.AtOnceG, spoons(c.AtOnceG), temp(c.MeltC), temp(c.CreamC), u.Diff(floorUnderK, 0), c.FirstG, temp(c.FloorC))
	}
	out.head("Pot")
	p.writePot(&out)
	if p.recipe.Dips {
		out.line("dip", "from %s down to %s, as this probe reads it: thickness does not shift with altitude", temp(e.DipOpenC), temp(e.DipCloseC))
	}
	out.head("Ready before the heat goes on")
	for _, s := range p.Ready {
		out.item("[ ]", s)
	}
	out.head("Take care")
	for _, s := range p.Cautions {
		out.item("!", s)
	}
	if p.recipe.Notes != "" {
		out.head("Notes")
		for _, l := range strings.Split(p.recipe.Notes, "\n") {
			out.wrap("  ", "  ", l)
		}
	}
	_, err := io.WriteString(w, out.b.String())
	return err
}

var whenWords = map[string]string{
	inMelt.String(): "melted first", inCream.String(): "poured in slowly", inAfter.String(): "stirred in off the heat",
}

func (p *plan) scaleWords() string {
	s := ""
	if p.Yield > 0 {
		s = fmt.Sprintf(": %.0f %s", p.Yield, p.YieldOf)
	}
	if p.ScaledBy != "" {
		s += fmt.Sprintf(", %.3g times the recipe, by the %s", p.Scale, p.ScaledBy)
	}
	return s
}

func (p *plan) airWords(u probe.Unit) string {
	boils := u.Temp(probe.Celsius(p.Endpoint.WaterBoilsC), 1)
	if p.Endpoint.PressurePa == 0 {
		return "pressure unknown, sea level's taken: water boils at " + boils
	}
	return fmt.Sprintf("%.1f kPa by %s: water boils at %s", p.Endpoint.PressurePa/1e3, p.Endpoint.PressureFrom, boils)
}

func (p *plan) writePot(out *page) {
	pot := p.Pot
	if pot.HoldsML == 0 {
		out.line("holds", "the recipe does not say; the finished batch is %.1f L: take a pot of %.1f L or more (common practice)", pot.FinishedML/1e3, roomTimes*pot.FinishedML/1e3)
		return
	}
	verdict := "room enough against boil-over (common practice: three to four times)"
	if pot.Tight {
		verdict = "too little room against boil-over (common practice: three to four times)"
	}
	out.line("holds", "%.1f L, %.1f times the finished %.2f L: %s", pot.HoldsML/1e3, pot.Room, pot.FinishedML/1e3, verdict)
	guess := ""
	if p.recipe.Pot.Guessed {
		guess = "; the pot's weight is a guess by its size"
	}
	depth := ""
	if p.recipe.Dips {
		depth = fmt.Sprintf(", and a dip needs %.1f cm", pot.NeedsCM)
	}
	out.line("depth", "the finished batch stands %.1f cm deep%s; the melt %.1f cm%s", pot.DepthCM, depth, pot.MeltDepthCM, guess)
}

// spoons says a mass of cream in level tablespoons.
func spoons(g float64) string {
	n := g / mLOf["tbsp"]
	if n < 0.75 {
		return fmt.Sprintf("%.0f teaspoons", max(1, g/mLOf["tsp"]))
	}
	return fmt.Sprintf("%.1f tablespoons", n)
}
