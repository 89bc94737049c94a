package main

import (
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/sessions"
	"boildown/syrup"
)

// endpointFlags say what is wanted and where the next batch will be cooked.
type endpointFlags struct {
	dir      string
	texture  int
	altitude float64
	water    probe.Celsius
	pressure float64 // Pa, from the two above
	unit     probe.Unit
	json     bool
}

func endpointCommand() *cobra.Command {
	flags := endpointFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "endpoint RECIPE",
		Short: "Learn from judged batches which temperature gives the texture wanted",
		Long: `endpoint fits the texture of your own batches of a recipe against how hot they got,
each peak corrected for the probe and for the air pressure it was cooked at. It
says which temperature most likely gives the texture wanted, how sure that is,
and which next trial would teach most; with too few batches it says so.

Judge batches by key o at the end of a cook, or by boildown label --texture. The
texture wanted stands in the recipe file, texture = "soft", or is given here.`,
		Example:           "  boildown endpoint stall-dip\n  boildown endpoint \"Soft caramels\" --texture soft --altitude 1600m",
		Args:              exactly(1, "a recipe, by name or file"),
		ValidArgsFunction: completeRecipe,
		RunE: func(cmd *cobra.Command, args []string) error {
			flags.pressure = syrup.StandardPressure
			switch strongest(cmd.Flags(), "water-boils", "altitude") {
			case "altitude":
				flags.pressure = syrup.Pressure(flags.altitude)
			case "water-boils":
				if !boilingPoint(flags.water) {
					return usagef("put the probe in water at a rolling boil, tip off the bottom", "--water-boils %s is not where water boils between 5500 m and the lowest shore", flags.unit.Temp(flags.water, 1))
				}
				flags.pressure = syrup.SaturationPressure(float64(flags.water))
			}
			entries, err := sessions.List(flags.dir)
			if err != nil {
				return err
			}
			a, err := newEndpointAnswer(args[0], entries, &flags)
			if err != nil {
				return err
			}
			if flags.json {
				return writeJSON(cmd, a)
			}
			return a.write(cmd.OutOrStdout(), flags.unit)
		},
	}
	set := cmd.Flags()
	registerDir(set, &flags.dir)
	set.Var(&value[int]{to: &flags.texture, parse: sessions.TextureFor, kind: "texture"}, "texture", "what is wanted, runny to shatters or 1 to 7; the recipe's own when not given")
	set.Var(lengthValue(&flags.altitude, "0m"), "altitude", "height of the kitchen where the next batch is cooked")
	set.Var(tempValue(&flags.water, ""), "water-boils", "what this probe reads in boiling water there; beats --altitude")
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	set.BoolVar(&flags.json, "json", false, "print JSON: °C at the next batch's pressure")
	return cmd
}

// endpointAnswer is what the batches of a recipe say, temperatures in °C as
// they would be where the next batch is cooked.
type endpointAnswer struct {
	Recipe     string          `json:"recipe"`
	Texture    string          `json:"texture"`
	WantedFrom string          `json:"wanted_from"`
	Say        string          `json:"say"`
	Enough     bool            `json:"enough"`
	Trials     []endpointTrial `json:"trials"`
	BestC      float64         `json:"best_c"`
	LowC       float64         `json:"low_c"` // with 80 % between LowC and HighC
	HighC      float64         `json:"high_c"`
	Right      float64         `json:"right"` // probability that a batch that peaks at BestC gets the texture
	StepK      float64         `json:"step_k"`
	NextC      float64         `json:"next_c"`
}

type endpointTrial struct {
	Name    string  `json:"name"`
	PeakC   float64 `json:"peak_c"`
	Texture string  `json:"texture"`
	Assumed bool    `json:"pressure_assumed"`
}

func newEndpointAnswer(what string, entries []sessions.Entry, flags *endpointFlags) (*endpointAnswer, error) {
	name, r := recipeOf(what)
	guess, ok := firstGuess(entries, name)
	if !ok && r != nil && r.Target != 0 && r.AtSeaLevel {
		guess, ok = r.Target, true
	}
	if !ok {
		return nil, usagef("boildown sessions lists the batches and their recipes", "no batch of %q with a target is kept", name)
	}
	a := &endpointAnswer{Recipe: name, Trials: []endpointTrial{}}
	wanted := flags.texture
	switch {
	case wanted != 0:
		a.WantedFrom = "as asked"
	case r != nil && r.Texture != 0:
		wanted, a.WantedFrom = r.Texture, "by the recipe"
	default:
		wanted, a.WantedFrom = middleTexture, "the middle of the scale, since neither the recipe nor --texture says"
	}
	a.Texture = sessions.Outcome{Texture: wanted}.TextureWord()
	here := func(c probe.Celsius) float64 { return syrup.ShiftTarget(float64(c), flags.pressure) }
	trials := sessions.TrialsOf(entries, name)
	e := sessions.FindEndpoint(trials, wanted, guess)
	for _, t := range trials {
		a.Trials = append(a.Trials, endpointTrial{t.Name, here(t.SeaC), sessions.Outcome{Texture: t.Texture}.TextureWord(), t.Assumed})
	}
	a.Say, a.Enough, a.Right, a.StepK = e.Say, e.Enough, e.Right, float64(e.Step)
	a.BestC, a.LowC, a.HighC, a.NextC = here(e.Best), here(e.Low), here(e.High), here(e.Next)
	return a, nil
}

// middleTexture is taken for wanted where nobody says: chewy.
const middleTexture = 4

// recipeOf returns the name that batches of a recipe carry, and the recipe
// where there is one: what names a file, a recipe on the list, or only batches.
func recipeOf(what string) (string, *recipe) {
	if r, err := loadRecipe(what); err == nil {
		return r.Name, r
	}
	for _, e := range shelfOfRecipes() {
		if e.Recipe != nil && e.Recipe.Name == what {
			return what, e.Recipe
		}
	}
	return what, nil
}

func (a *endpointAnswer) write(out io.Writer, unit probe.Unit) error {
	temp := func(c float64) string { return unit.Temp(probe.Celsius(c), 1) }
	p := &printingWriter{w: out}
	fmt.Fprintf(p, "%s, to be %s (%s)\n%s\n", oneLine(a.Recipe), a.Texture, a.WantedFrom, a.Say)
	for _, t := range a.Trials {
		note := ""
		if t.Assumed {
			note = "  (pressure not known: sea level assumed)"
		}
		fmt.Fprintf(p, "  %s  %s  %s%s\n", oneLine(t.Name), temp(t.PeakC), t.Texture, note)
	}
	if len(a.Trials) > 0 {
		fmt.Fprintf(p, "Likely endpoint: %s; with 80 %% between %s and %s.\n", temp(a.BestC), temp(a.LowC), temp(a.HighC))
		fmt.Fprintf(p, "A batch that peaks there comes out %s with %.0f %%; a level of texture is about %s.\n", a.Texture, 100*a.Right, unit.Diff(probe.Delta(a.StepK), 1))
	}
	fmt.Fprintf(p, "Next trial: a peak of %s teaches most.\n", temp(a.NextC))
	if isClosedPipe(p.err) {
		return nil
	}
	return p.err
}

// firstGuess is the middle of the targets that the recipe was cooked to, at
// sea level as far as the pressure was known.
func firstGuess(entries []sessions.Entry, recipe string) (probe.Celsius, bool) {
	var targets []probe.Celsius
	for _, e := range entries {
		if e.Recipe == recipe && e.Target != 0 {
			targets = append(targets, e.SeaTarget())
		}
	}
	if len(targets) == 0 {
		return 0, false
	}
	slices.Sort(targets)
	return targets[len(targets)/2], true
}
