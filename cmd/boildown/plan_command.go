package main

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"boildown/probe"
	"boildown/syrup"
)

// planFlags are what a plan can be told.
type planFlags struct {
	yield      int
	potML      float64
	altitude   float64
	waterBoils probe.Celsius
	hob        string // a power, or the name of a hob
	cook       string
	unit       probe.Unit
	json       bool
	dir        string
}

func planCommand() *cobra.Command {
	flags := planFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "plan RECIPE",
		Short: "Plan a batch: amounts, water, minutes, pot, target, what to lay ready",
		Long: `plan reads a recipe and says what the batch will be like: amounts scaled to what
you want to make or to your pot, water to boil off, how long that takes, whether
the pot has the room and the depth, and the target where you are. Minutes come
from your own batches of the recipe once there are some, else from a guess that
is stated.`,
		Example: `  boildown plan stall-dip --yield 12 --altitude 1600m
  boildown plan mine.toml --pot 3L --water-boils 202.4F
  boildown plan stall-dip --json | jq .water`,
		Args:              exactly(1, "one recipe, by name or file"),
		ValidArgsFunction: completeRecipe,
		RunE: func(cmd *cobra.Command, args []string) error {
			ask, err := flags.ask(cmd)
			if err != nil {
				return err
			}
			r, err := loadRecipe(args[0])
			if err != nil {
				return err
			}
			ask.Past = pastRuns(flags.dir, r.Name, ask.Hob)
			ask.Habits = habitsIn(flags.dir, handFlags{cook: flags.cook, hob: ask.Hob})
			p, err := newPlan(r, ask)
			if err != nil {
				return err
			}
			if flags.json {
				return writeJSON(cmd, p)
			}
			return p.write(cmd.OutOrStdout(), flags.unit)
		},
	}
	set := cmd.Flags()
	set.Var(&value[int]{to: &flags.yield, parse: parsePieces, kind: "pieces"}, "yield", "how many pieces to make: scales the recipe")
	set.Var(&value[float64]{to: &flags.potML, parse: parseVolume, kind: "volume"}, "pot", "the pot at hand, as in 1.9L or 2qt; scales the recipe to it unless --yield does")
	set.Var(lengthValue(&flags.altitude, ""), "altitude", "height above the sea, for the air pressure")
	set.Var(tempValue(&flags.waterBoils, ""), "water-boils", "what this probe reads in boiling water here today; beats --altitude")
	set.StringVar(&flags.hob, "hob", "", "power that goes into the pot, as in 600W, or the name of the hob that past batches were cooked on")
	set.StringVar(&flags.cook, "cook", "", "who will cook, where past batches name several")
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	set.BoolVar(&flags.json, "json", false, "print JSON: grams, °C, Pa, mL, minutes")
	set.StringVar(&flags.dir, "dir", defaultDir(), "where batches are kept, for the minutes they took")
	return cmd
}

// ask checks the flags against each other.
func (f *planFlags) ask(cmd *cobra.Command) (planAsk, error) {
	ask := planAsk{Yield: f.yield, PotML: f.potML, Hob: f.hob}
	if powerLike(f.hob) {
		w, err := parsePower(f.hob)
		if err != nil {
			return ask, usagef("", "--hob: %w", err)
		}
		ask.HobW, ask.Hob = w, ""
	}
	switch strongest(cmd.Flags(), "water-boils", "altitude") {
	case "water-boils":
		if !boilingPoint(f.waterBoils) {
			return ask, usagef("put the probe in water at a rolling boil, tip off the bottom", "--water-boils %s is not where water boils between 5500 m and the lowest shore", f.unit.Temp(f.waterBoils, 1))
		}
		ask.PressurePa = syrup.SaturationPressure(float64(f.waterBoils))
		ask.PressureFrom = "water boiling at " + f.unit.Temp(f.waterBoils, 1)
	case "altitude":
		ask.PressurePa = syrup.Pressure(f.altitude)
		ask.PressureFrom = fmt.Sprintf("an altitude of %.0f m", f.altitude)
	}
	return ask, nil
}

// parsePieces reads how many pieces to make.
func parsePieces(s string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	if err != nil || n < 1 || n > 10000 {
		return 0, fmt.Errorf("%q is no number of pieces: write it like 12", s)
	}
	return n, nil
}

// powerLike reports whether s is meant as a power and not as a hob's name.
func powerLike(s string) bool {
	s = strings.TrimSpace(s)
	return s != "" && s[0] >= '0' && s[0] <= '9' && strings.HasSuffix(strings.ToLower(s), "w")
}

// parsePower reads watts into the pot: "600W", "0.6kW".
func parsePower(s string) (w float64, err error) {
	t, unit := strings.TrimSpace(s), 1.0
	switch {
	case strings.HasSuffix(strings.ToLower(t), "kw"):
		t, unit = t[:len(t)-2], 1000
	case strings.HasSuffix(strings.ToLower(t), "w"):
		t = t[:len(t)-1]
	default:
		return 0, fmt.Errorf("power %q has no unit: write it like 600W", s)
	}
	n, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
	if w = n * unit; err != nil || !(w >= 50 && w <= 20e3) {
		return 0, fmt.Errorf("power %q is not between 50W and 20kW: write it like 600W", s)
	}
	return w, nil
}

// writeJSON prints v for other programs, readable.
func writeJSON(cmd *cobra.Command, v any) error {
	enc := json.NewEncoder(jsonText{cmd.OutOrStdout()})
	enc.SetIndent("", "  ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
