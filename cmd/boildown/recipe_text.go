package main

import (
	"fmt"
	"io"
	"strings"

	"boildown/probe"
)

// summary is the recipe in a line.
func (r *recipe) summary() string {
	onHeat, after := r.Mass()
	s := fmt.Sprintf("%.0f g to %.4g °F", onHeat+after, r.Target.F())
	if r.AtSeaLevel {
		s += " at sea level"
	}
	if r.Yield > 0 {
		s += fmt.Sprintf(", %d %s", r.Yield, r.YieldOf)
	}
	return s
}

// write prints the recipe for a person.
func (r *recipe) write(w io.Writer, u probe.Unit) error {
	var out page
	fmt.Fprintf(&out.b, "%s (%s)\n", r.Name, probe.Printable(r.From))
	if r.About != "" {
		out.wrap("", "", r.About)
	}
	out.head("What goes in")
	for _, p := range r.Parts {
		text := p.Food.Name + ", " + whenWords[p.Stage.String()]
		if p.How != "" {
			text += fmt.Sprintf(" (%s: %s)", p.AsIn, p.How)
		}
		if p.Source != "" {
			text += "; " + p.Source
		}
		out.line(gramsWords(p.Grams), "%s", text)
	}
	out.head("What comes of it")
	target, how := r.TargetAt(0)
	out.line("endpoint", "%s: %s", u.Temp(target, 1), how)
	if words := stageWords(r.Sweet.Stage); words != "" {
		out.line("", "%s", words)
	}
	all, done := r.Batch.Melt.Add(r.Batch.Cream), r.finished()
	out.line("holds", "%.0f g water, %.0f g fat, %.0f g dissolved; at the endpoint %.0f g water (%.0f %%)",
		all.Water, all.Fat, all.Solutes, done.Water, 100*done.Water/done.Mass())
	if r.Yield > 0 {
		_, after := r.Mass()
		out.line("makes", "%d %s, %.0f g each", r.Yield, r.YieldOf, (done.Mass()+after)/float64(r.Yield))
	}
	if r.Dips {
		out.line("dip", "from %s down to %s, %.1f cm deep; never shifted", u.Temp(r.DipOpen, 0), u.Temp(r.DipClose, 0), r.DipDepthCM)
	}
	if r.Pot.HoldsML > 0 {
		out.line("pot", "%s", r.Pot.words())
	}
	if r.Notes != "" {
		out.head("Notes")
		for _, l := range strings.Split(r.Notes, "\n") {
			out.wrap("  ", "  ", l)
		}
	}
	_, err := io.WriteString(w, out.b.String())
	return err
}

func (p pan) words() string {
	s := fmt.Sprintf("%.2g L", p.HoldsML/1e3)
	if p.Material != "" {
		s += " " + p.Material
	}
	if p.Grams > 0 {
		s += fmt.Sprintf(", %.1f kg", p.Grams/1e3)
	}
	if p.Guessed {
		s += " by a guess"
	}
	return s + fmt.Sprintf(", %.0f cm across", p.AcrossCM)
}
