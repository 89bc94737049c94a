package ui

import (
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// longSentences are pots of which each prompt has the most to say.
func longSentences() []plateau.Advice {
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
	for _, c := range []probe.Celsius{155, 172, 180, 185} {
		with(func(a *plateau.Advice) { a.Now, a.Phase, a.Forecast = c, plateau.Melt, plateau.Forecast{} })
	}
	with(func(a *plateau.Advice) { a.Now = 250 })
	for f := probe.FaultNone + 1; f.String() != "" && f < 40; f++ {
		with(func(a *plateau.Advice) { a.Doubt = f })
	}
	with(func(a *plateau.Advice) {
		a.Doubt, a.Now, a.Phase, a.Forecast = probe.FaultLifted, 172, plateau.Melt, plateau.Forecast{}
	})
	return variants
}

// said is what the frame of a screen of this size says of p, its lines joined.
func said(p plateau.Prompt, a plateau.Advice, u probe.Unit, w, h int) string {
	m, feed, _ := fakeLive(20, NoStyle)
	m.words, m.unit = promptText, u
	a.Standing = plateau.Prompts(0).With(p)
	feed.s.Advice = a
	m.take(pulled{time.UnixMilli(500), feed.s})
	var lines []string
	for line := range strings.Lines(Frame(m, w, h)) {
		before, _, _ := strings.Cut(line, " SPACE ") // the sentence's last line stands beside the key
		lines = append(lines, strings.Fields(before)...)
	}
	return strings.Join(lines, " ")
}

// TestSentences_fitTheScreen has every prompt at its longest: on 80 × 24 and on
// 120 × 40 no word of it is lost. On 40 × 12 there is room for the act, which
// comes first, unless the time left to the target needs it.
func TestSentences_fitTheScreen(t *testing.T) {
	for _, s := range shouts {
		for _, a := range longSentences() {
			if a.Doubt != probe.FaultNone && s.prompt != plateau.ProbeFault && s.prompt != plateau.PullNow && s.prompt != plateau.Burn {
				continue // they do not speak of it
			}
			for _, u := range []probe.Unit{probe.UnitF, probe.UnitC} {
				text := strings.Join(strings.Fields(s.prompt.Text(a, u)), " ")
				for _, size := range [][2]int{{80, 24}, {120, 40}} {
					if got := said(s.prompt, a, u, size[0], size[1]); !strings.Contains(got, text) {
						t.Errorf("%v on %d × %d: %q is not all there:\n%s", s.prompt, size[0], size[1], text, got)
					}
				}
				act, _, _ := strings.Cut(s.prompt.Text(a, u), ":")
				act, _, _ = strings.Cut(act, ". ")
				act = strings.Join(strings.Fields(act), " ")
				a.Forecast = plateau.Forecast{} // where there is one, it takes the sentence's place under the large letters
				if got := said(s.prompt, a, u, 40, 12); !strings.Contains(got, act) {
					t.Errorf("%v on 40 × 12: %q is not there:\n%s", s.prompt, act, got)
				}
			}
		}
	}
}

// TestSentences_narrow has the figure and the caution that matter on the
// smallest screen: when the melt is too dark, in the sentence and beside the
// figures; that steam spits from a pot which may not have had all its cream.
func TestSentences_narrow(t *testing.T) {
	for _, tc := range []struct {
		p    plateau.Prompt
		a    plateau.Advice
		want string
		n    int
	}{
		{plateau.Sample, plateau.Advice{Now: 172, HasDark: true, Dark: 10 * time.Second, Phase: plateau.Melt}, "too dark in 10 s", 2},
		{plateau.Sample, plateau.Advice{Now: 155, HasDark: true, Dark: 90 * time.Second, Phase: plateau.Melt}, "too dark in 90 s", 1},
		{plateau.AddCream, plateau.Advice{Now: 105, HasCream: true, CreamAll: true, CreamInG: 478, CreamPlanG: 480, Phase: plateau.Cream}, "arm's length: steam", 1},
	} {
		tc.a.HasNow, tc.a.Target = true, probe.Fahrenheit(235)
		for _, u := range []probe.Unit{probe.UnitF, probe.UnitC} {
			if got := beside(tc.p, tc.a, u); strings.Count(got, tc.want) < tc.n {
				t.Errorf("%v in %v: %q is not %d times in:\n%s", tc.p, u, tc.want, tc.n, got)
			}
		}
	}
}

// beside is the small screen's text without its large letters.
func beside(p plateau.Prompt, a plateau.Advice, u probe.Unit) string {
	words := strings.FieldsFunc(said(p, a, u, 40, 12), func(r rune) bool { return strings.ContainsRune(" ▀▄█", r) })
	return strings.Join(words, " ")
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
