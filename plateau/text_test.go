package plateau_test

import (
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

func TestText_beginsWithTheActAndCarriesTheNumber(t *testing.T) {
	a := plateau.Advice{
		Now: 113.5, HasNow: true, Target: probe.Fahrenheit(235), Near: probe.DeltaF(5), Phase: plateau.Climb,
		Forecast: plateau.Forecast{By: plateau.ByStallLine, ETA: 200 * time.Second, Low: 150 * time.Second, High: 300 * time.Second},
		Floor:    99, DipOpen: probe.Fahrenheit(215), DipClose: probe.Fahrenheit(210), DipLeft: 45 * time.Second, HasDip: true,
		Dark: 12 * time.Second, HasDark: true,
	}
	for _, tc := range []struct {
		p          plateau.Prompt
		begins     string
		has, hasNo string
	}{
		{plateau.PullNow, "Pull the pot now", "236 °F", "guess"},
		{plateau.NearTarget, "Get ready to pull", "0 °F to go", ""},
		{plateau.LowerHeat, "Turn the heat down", "236 °F", ""},
		{plateau.PastTarget, "Off the heat", "1 °F over", "cream"},
		{plateau.Scorch, "Off the heat now", "no cold cream, no water", ""},
		{plateau.Burn, "Off the heat", "374 °F", ""},
		{plateau.AddCream, "Add warm cream a little", "steam", ""},
		{plateau.HoldCream, "Hold the cream", "210 °F", ""},
		{plateau.Seize, "Stop the cream", "steam", ""},
		{plateau.BoilOver, "Watch the foam", "stand back", ""},
		{plateau.Stalled, "Let it boil", "about 3 min", ""},
		{plateau.DipOpen, "Dip now", "45 s", ""},
		{plateau.DipClosing, "Dip the last pieces", "45 s left", ""},
		{plateau.DipClosed, "Too cool to dip", "210 °F", ""},
		{plateau.NotRising, "More heat", "235 °F", ""},
		{plateau.Stir, "Scrape the bottom", "", ""},
		{plateau.Swirl, "Swirl", "", ""},
		{plateau.Sample, "Look at the melt", "10 s", ""},
		{plateau.ProbeFault, "Check the probe", "guess", ""},
	} {
		got := tc.p.Text(a, probe.UnitF)
		if !strings.HasPrefix(got, tc.begins) || !strings.Contains(got, tc.has) || tc.hasNo != "" && strings.Contains(got, tc.hasNo) {
			t.Errorf("%v: %q; want it to begin %q, hold %q and not %q", tc.p, got, tc.begins, tc.has, tc.hasNo)
		}
		if n := len([]rune(got)); n > 150 {
			t.Errorf("%v: %d characters, too long to read at a stove: %q", tc.p, n, got)
		}
		if c := tc.p.Text(a, probe.UnitC); strings.Contains(c, "°F") {
			t.Errorf("%v in °C says %q", tc.p, c)
		}
	}
}

func TestText_saysThatABlindPullIsAGuess(t *testing.T) {
	a := plateau.Advice{Now: 111, HasNow: true, Target: 112.8, Doubt: probe.FaultSilent}
	if got := plateau.PullNow.Text(a, probe.UnitC); !strings.Contains(got, "guess") || !strings.Contains(got, "silent") {
		t.Errorf("%q does not say that it is a guess and why", got)
	}
}

func TestText_everyPromptHasOne(t *testing.T) {
	all := plateau.Prompts(1<<32 - 1)
	n := 0
	for p := range all.All {
		n++
		if p.Text(plateau.Advice{}, probe.UnitF) == "" {
			t.Errorf("%v has no text", p)
		}
	}
	if n != 19 {
		t.Errorf("%d prompts, want the 19 that files know", n)
	}
	if got := plateau.Prompt(200).Text(plateau.Advice{}, probe.UnitF); got != "" {
		t.Errorf("an unknown prompt says %q", got)
	}
}

// Colours after H. McGee, On Food and Cooking, 2004, and 10 K either way, by
// which charts and melts differ.
func TestMeltColour(t *testing.T) {
	for c, want := range map[probe.Celsius]string{
		120: "", 152: "clear or straw", 165: "straw (clear to amber)", 174: "amber (straw to dark)", 187: "dark (amber to smoking)", 230: "black",
	} {
		if got := plateau.MeltColour(c); got != want {
			t.Errorf("at %.0f °C: %q, want %q", float64(c), got, want)
		}
	}
	if got := plateau.Sample.Text(plateau.Advice{Now: 174, HasNow: true}, probe.UnitF); !strings.Contains(got, "amber (straw to dark)") {
		t.Errorf("the look at the melt says %q", got)
	}
}
