package main

import (
	"bytes"
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"

	"boildown/plateau"
	"boildown/probe"
	"boildown/sessions"
	"boildown/syrup"
)

// workedRecipe is the batch of testdata/physics/boiloff.csv in its pot.
const workedRecipe = plainRecipe + `
[dip]
open = "215 °F"
close = "210 °F"

[pot]
holds = "1.9 L"
material = "steel"
weighs = "1 kg"
across = "16 cm"
`

func mustPlan(t *testing.T, r *recipe, ask planAsk) *plan {
	t.Helper()
	p, err := newPlan(r, ask)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func within(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.6g, want %.6g ± %.2g", what, got, want, tol)
	}
}

// TestPlanOfTheWorkedBatch: water, moisture and minutes as an independent
// program found them (testdata/physics/boiloff.csv, row 235 °F).
func TestPlanOfTheWorkedBatch(t *testing.T) {
	// the plan's high end is four fifths of the power and all water still there
	p := mustPlan(t, mustParse(t, workedRecipe), planAsk{PressurePa: syrup.StandardPressure, HobW: 600 / 0.8})
	within(t, "water in, g", p.Water.InG, 277.0, 0.2)
	within(t, "water left, g", p.Water.LeftG, 82.4, 0.3)
	within(t, "water to boil off, g", p.Water.OffG, 277.0-82.4, 0.4)
	within(t, "moisture at the endpoint", p.Water.LeftShare, 0.120, 0.001)
	within(t, "minutes from all its water at 600 W", p.Minutes.High, 12.71, 0.2)
	within(t, "first boil, °F", probe.Celsius(p.Endpoint.FirstBoilC).F(), 217.5, 0.05)
	within(t, "stall ends, °F", probe.Celsius(p.Endpoint.StallEndsC).F(), 223.95, 0.01)
	within(t, "target, °F", probe.Celsius(p.Endpoint.TargetC).F(), 235, 0.01)
	// 1.42 kJ/K at 170 °C, cream of 80 °C, down to 150 °C: 18.5 g
	within(t, "first portion, g", p.Cream.FirstG, 18.5, 0.1)
	// with its water the pot boils at once, down to where the floor falls too
	within(t, "most at once, g", p.Cream.AtOnceG, 480.0/3, 0.1)
	within(t, "steam of 40 g cold cream, L", p.Cream.SteamL, 13, 1)
	if m := p.Minutes; !(m.Low < m.Likely && m.Likely < m.High) {
		t.Errorf("minutes %v, %v, %v are out of order", m.Low, m.Likely, m.High)
	}
	if p.Pot.Tight || p.Pot.Shallow {
		t.Errorf("a batch of this size in a 1.9 L pot is usual: %+v", p.Pot)
	}
}

func TestPlanScales(t *testing.T) {
	r := mustParse(t, strings.Replace(workedRecipe, "\n\n", "\nyield = 24\n\n", 1))
	base := mustPlan(t, r, planAsk{})
	for _, c := range []struct {
		name  string
		ask   planAsk
		scale float64
		by    string
	}{
		{"as it is", planAsk{}, 1, ""},
		{"half the yield", planAsk{Yield: 12}, 0.5, "yield"},
		{"three times", planAsk{Yield: 72}, 3, "yield"},
		{"a larger pot", planAsk{PotML: 4000}, math.Floor(20*4000/(3.5*base.Pot.FinishedML)) / 20, "pot"},
		{"the yield wins", planAsk{Yield: 12, PotML: 4000}, 0.5, "yield"},
	} {
		p := mustPlan(t, r, c.ask)
		within(t, c.name+": scale", p.Scale, c.scale, 1e-9)
		within(t, c.name+": water", p.Water.InG, base.Water.InG*c.scale, 1e-6)
		within(t, c.name+": sugar", p.Weigh[0].Grams, 400*c.scale, 1e-6)
		within(t, c.name+": finished", p.Pot.FinishedML, base.Pot.FinishedML*c.scale, 1e-6)
		within(t, c.name+": pieces", p.Yield, 24*c.scale, 1e-9)
		if p.ScaledBy != c.by {
			t.Errorf("%s: scaled by %q", c.name, p.ScaledBy)
		}
		if c.by == "pot" && (p.Pot.Room < 3.5 || p.Pot.Room > 3.8) {
			t.Errorf("%s: room of %.2f times, want just over 3.5", c.name, p.Pot.Room)
		}
	}
	within(t, "the recipe itself stays as it is", r.Parts[0].Grams, 400, 0)
	for _, ask := range []planAsk{{Yield: 1}, {Yield: 10000}, {PotML: 10}} {
		if p, err := newPlan(r, ask); err == nil {
			t.Errorf("%+v plans a batch of %v times", ask, p.Scale)
		}
	}
	if _, err := newPlan(mustParse(t, workedRecipe), planAsk{Yield: 12}); err == nil {
		t.Error("a recipe without a yield was scaled by it")
	}
}

// TestPlanAtAltitude: the target moves by the table of shifts, the composition
// stays, the dip window does not move.
func TestPlanAtAltitude(t *testing.T) {
	r := mustParse(t, workedRecipe)
	sea, high := mustPlan(t, r, planAsk{PressurePa: syrup.StandardPressure}), mustPlan(t, r, planAsk{PressurePa: syrup.Pressure(1600)})
	within(t, "target at 1600 m, °F", probe.Celsius(high.Endpoint.TargetC).F(), 224.8, 0.06)
	within(t, "water left", high.Water.LeftG, sea.Water.LeftG, 0.01)
	within(t, "dip opens, °F", probe.Celsius(high.Endpoint.DipOpenC).F(), 215, 1e-6)
	within(t, "water boils at 1600 m, °F", probe.Celsius(high.Endpoint.WaterBoilsC).F(), 202.4, 0.05)
}

func TestPlanCautions(t *testing.T) {
	sea := planAsk{PressurePa: syrup.StandardPressure}
	for _, c := range []struct {
		name, recipe string
		ask          planAsk
		says         string
	}{
		{"altitude unknown", workedRecipe, planAsk{}, "--water-boils"},
		{"small pot", strings.Replace(workedRecipe, "1.9 L", "1.2 L", 1), sea, "boil over"},
		{"no pot", plainRecipe, sea, "does not say what pot"},
		{"wide pot", strings.Replace(workedRecipe, "16 cm", "24 cm", 1), sea, "dip needs"},
		{"thin melt", strings.Replace(workedRecipe, "16 cm", "24 cm", 1), sea, "tilt the pot"},
		{"non-stick", workedRecipe + "non_stick = true\n", sea, "kill birds"},
		{"butter", workedRecipe + "[[cream]]\nfood = \"butter\"\namount = \"50 g\"\n", sea, "slide off"},
		{"3000 m", workedRecipe, planAsk{PressurePa: syrup.Pressure(3200)}, "opens at or above the target"},
		{"nothing to boil off", strings.Replace(workedRecipe, "480 g", "140 g", 1), sea, "hardly any water"},
	} {
		p := mustPlan(t, mustParse(t, c.recipe), c.ask)
		if all := strings.Join(p.Cautions, "\n"); !strings.Contains(all, c.says) {
			t.Errorf("%s: nothing says %q in\n%s", c.name, c.says, all)
		}
		plain := mustPlan(t, mustParse(t, workedRecipe), sea)
		if all := strings.Join(plain.Cautions, "\n"); strings.Contains(all, c.says) {
			t.Errorf("%s: a plain batch is warned too: %q", c.name, c.says)
		}
		for _, usual := range []string{"20 min under cool running water", "every child's burn", "never replaces a person", "licensed practice", "Never leave it"} {
			if !strings.Contains(strings.Join(p.Cautions, "\n"), usual) {
				t.Errorf("%s: leaves out %q", c.name, usual)
			}
		}
	}
}

// runCommand runs one command as root would and returns what it printed.
func runCommand(t *testing.T, cmd *cobra.Command, args ...string) (string, error) {
	t.Helper()
	var out bytes.Buffer
	cmd.SilenceErrors, cmd.SilenceUsage = true, true
	cmd.SetOut(&out)
	cmd.SetErr(&out)
	cmd.SetArgs(args)
	err := cmd.Execute()
	return out.String(), err
}

func TestPlanCommand(t *testing.T) {
	empty := t.TempDir()
	out, err := runCommand(t, planCommand(), "stall-dip", "--yield", "12", "--altitude", "1600m", "--dir", empty)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"12 pretzel rods", "200 g", "224.8 °F", "[ ]", "a guess", "83.5 kPa", "Take care"} {
		if !strings.Contains(out, want) {
			t.Errorf("leaves out %q:\n%s", want, out)
		}
	}
	for _, line := range strings.Split(out, "\n") {
		if n := len([]rune(line)); n > pageWidth {
			t.Errorf("%d columns: %q", n, line)
		}
	}
	for _, args := range [][]string{
		{}, {"none-such"}, {"stall-dip", "--yield", "0"}, {"stall-dip", "--pot", "2"}, {"stall-dip", "--hob", "1W"},
		{"stall-dip", "--water-boils", "150F"}, {"stall-dip", "--altitude", "90km"},
	} {
		if out, err := runCommand(t, planCommand(), args...); err == nil {
			t.Errorf("%v passes:\n%s", args, out)
		}
	}
}

func TestPlanJSON(t *testing.T) {
	for _, e := range shelfOfRecipes() {
		out, err := runCommand(t, planCommand(), e.Name, "--json", "--pot", "2.5L", "--water-boils", "203F", "--dir", t.TempDir())
		if err != nil {
			t.Fatal(err)
		}
		var p plan
		if err := json.Unmarshal([]byte(out), &p); err != nil {
			t.Fatalf("%v in\n%s", err, out)
		}
		if p.Water.OffG <= 0 || p.Minutes.Likely <= 0 || p.ScaledBy != "pot" || len(p.Ready) == 0 {
			t.Errorf("%s: %+v", e.Name, p)
		}
	}
}

// keepBatch keeps a batch that took minutes from its last cream to the pull.
func keepBatch(t *testing.T, dir string, r *recipe, day int, minutes float64, demo bool) {
	t.Helper()
	cfg := plateau.Config{Target: r.Target, Pressure: syrup.StandardPressure}
	r.apply(&cfg)
	rec, err := sessions.Create(dir, sessions.Header{Start: time.Date(2026, 3, day, 9, 0, 0, 0, time.UTC), Recipe: r.Name, Demo: demo, Config: cfg})
	if err != nil {
		t.Fatal(err)
	}
	creamEnd := 10 * time.Minute
	pull := creamEnd + time.Duration(minutes*float64(time.Minute))
	for _, in := range []plateau.Input{
		plateau.Reading(probe.Reading{At: time.Minute, C: 150}),
		{Kind: plateau.Marked, At: creamEnd + time.Minute, Ago: time.Minute, Mark: plateau.MarkCreamEnd},
		{Kind: plateau.Marked, At: pull, Mark: plateau.MarkPull},
	} {
		rec.Input(in)
	}
	if err := rec.Close(sessions.Summary{End: pull, PullAt: pull, Target: cfg.Target, EndS: pull.Seconds(), PullS: pull.Seconds()}); err != nil {
		t.Fatal(err)
	}
}

// TestPlanFromPastBatches: the shelf's own minutes replace the guess, scaled by
// the water that is to go; demos and other recipes do not count.
func TestPlanFromPastBatches(t *testing.T) {
	r, dir := mustParse(t, workedRecipe), t.TempDir()
	other := mustParse(t, strings.Replace(workedRecipe, `"Test"`, `"Other"`, 1))
	keepBatch(t, dir, r, 1, 10, false)
	keepBatch(t, dir, r, 2, 14, false)
	keepBatch(t, dir, r, 3, 11, false)
	keepBatch(t, dir, r, 4, 50, true)
	keepBatch(t, dir, other, 5, 60, false)
	runs := pastRuns(dir, r.Name, "")
	if len(runs) != 3 {
		t.Fatalf("got %d batches, want 3: %+v", len(runs), runs)
	}
	p := mustPlan(t, r, planAsk{PressurePa: syrup.StandardPressure, Past: runs})
	within(t, "likely", p.Minutes.Likely, 11, 0.1)
	within(t, "high", p.Minutes.High, 14, 0.1)
	if p.Minutes.Low > 10 || p.Minutes.Past != 3 || !strings.Contains(p.Minutes.From, "your last 3 batches") {
		t.Errorf("%+v", p.Minutes)
	}
	twice := *r
	twice.Yield = 10
	p = mustPlan(t, &twice, planAsk{PressurePa: syrup.StandardPressure, Past: runs, Yield: 20})
	within(t, "twice as much takes twice as long", p.Minutes.Likely, 22, 0.2)
	if runs := pastRuns(t.TempDir(), r.Name, ""); len(runs) != 0 {
		t.Errorf("an empty shelf holds %v", runs)
	}
}
