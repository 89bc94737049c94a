package ui

import (
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// TestSentences_fitTheSmallScreen has every prompt at its longest: on 80 × 24
// it takes two lines, the second beside the key, and no word of it is lost.
func TestSentences_fitTheSmallScreen(t *testing.T) {
	base := plateau.Advice{
		Now: 113.5, HasNow: true, Target: probe.Fahrenheit(235), Near: probe.DeltaF(5), Phase: plateau.Climb,
		Forecast: plateau.Forecast{By: plateau.ByStallLine, ETA: 95 * time.Second, Low: 80 * time.Second, High: 110 * time.Second},
		Floor:    99, DipOpen: probe.Fahrenheit(215), DipClose: probe.Fahrenheit(210), DipLeft: 95 * time.Second, HasDip: true,
		Dark: 95 * time.Second, HasDark: true, CreamG: 185, HasCream: true, CreamPlanG: 480, CreamWait: 95 * time.Second,
	}
	variants := []plateau.Advice{base}
	with := func(change func(*plateau.Advice)) {
		a := base
		change(&a)
		variants = append(variants, a)
	}
	with(func(a *plateau.Advice) { a.Uneven = true })
	with(func(a *plateau.Advice) { a.Phase, a.CreamInG = plateau.Cream, 400 })
	with(func(a *plateau.Advice) { a.Phase, a.CreamInG, a.CreamAll = plateau.Cream, 478, true })
	for _, over := range []probe.Delta{1, 3, 8, 30} {
		with(func(a *plateau.Advice) { a.Now = a.Target + probe.Celsius(over) })
	}
	with(func(a *plateau.Advice) { a.Now = 185 })
	with(func(a *plateau.Advice) { a.Now = 250 })
	for f := probe.FaultNone + 1; f.String() != "" && f < 40; f++ {
		with(func(a *plateau.Advice) { a.Doubt = f })
	}
	const w, rows = 80 - 2, 2
	for _, s := range shouts {
		for _, a := range variants {
			for _, u := range []probe.Unit{probe.UnitF, probe.UnitC} {
				text := s.prompt.Text(a, u)
				all := wrap(text, w, false)
				beside := 80 - 1 - 7 - textWidth(s.space, false) - 2 - 1
				if len(all) > rows || len(all) == rows && textWidth(all[1], false) > beside {
					t.Errorf("%v: %d lines, the last %d wide of %d beside %q: %q", s.prompt, len(all), textWidth(all[len(all)-1], false), beside, s.space, text)
				}
			}
		}
	}
}

// What a key does is said in full in one of two columns of the commonest window.
func TestHelpFitsItsColumn(t *testing.T) {
	for name, page := range map[string]lines{"live": liveHelp, "replay": replayHelpPanel} {
		keys := 0
		for _, l := range page {
			keys = max(keys, textWidth(l.key, false))
		}
		for _, l := range page {
			if room := 40 - (keys + 2); textWidth(l.does, false) > room {
				t.Errorf("%s: %q needs %d columns, has %d", name, l.does, textWidth(l.does, false), room)
			}
		}
	}
}
