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

// endpointFlags say where the next batch will be cooked.
type endpointFlags struct {
	dir      string
	altitude float64
	unit     probe.Unit
}

func endpointCommand() *cobra.Command {
	flags := endpointFlags{unit: probe.UnitF}
	cmd := &cobra.Command{
		Use:   "endpoint RECIPE",
		Short: "Learn from judged batches which temperature gives the texture wanted",
		Long: `endpoint fits the texture of your own batches of a recipe against how hot they got,
and says which temperature most likely gives the texture wanted, how sure that is,
and which next trial would teach most. Judge batches with boildown label --texture.`,
		Example: "  boildown endpoint \"Soft caramels\"\n  boildown endpoint \"Soft caramels\" --altitude 1600m",
		Args:    exactly(1, "the name of a recipe"),
		RunE: func(cmd *cobra.Command, args []string) error {
			entries, err := sessions.List(flags.dir)
			if err != nil {
				return err
			}
			return writeEndpoint(cmd.OutOrStdout(), args[0], entries, &flags)
		},
	}
	set := cmd.Flags()
	registerDir(set, &flags.dir)
	set.Var(lengthValue(&flags.altitude, "0m"), "altitude", "height of the kitchen where the next batch is cooked")
	set.Var(unitValue(&flags.unit, "F"), "unit", "scale of what is shown")
	return cmd
}

func writeEndpoint(out io.Writer, recipe string, entries []sessions.Entry, flags *endpointFlags) error {
	trials := sessions.TrialsOf(entries, recipe)
	guess, ok := firstGuess(entries, recipe)
	if !ok {
		return usagef("boildown sessions lists the batches and their recipes", "no batch of %q with a target is kept", recipe)
	}
	here := func(c probe.Celsius) string {
		return flags.unit.Temp(probe.Celsius(syrup.ShiftTarget(float64(c), syrup.Pressure(flags.altitude))), 1)
	}
	e := sessions.FindEndpoint(trials, guess)
	p := &printingWriter{w: out}
	fmt.Fprintf(p, "%s\n", e.Say)
	for _, t := range trials {
		o := sessions.Outcome{Texture: t.Texture}
		note := ""
		if t.Assumed {
			note = "  (pressure not known: sea level assumed)"
		}
		fmt.Fprintf(p, "  %s  %s  %s%s\n", oneLine(t.Name), here(t.SeaC), o.TextureWord(), note)
	}
	if e.Trials > 0 {
		fmt.Fprintf(p, "Likely endpoint: %s; with 80 %% between %s and %s.\n", here(e.Best), here(e.Low), here(e.High))
		fmt.Fprintf(p, "A batch that peaks there comes out so with %.0f %%; a level of texture is about %s.\n", 100*e.Right, flags.unit.Diff(e.Step, 1))
	}
	fmt.Fprintf(p, "Next trial: %s teaches most.\n", here(e.Next))
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
