package main

import (
	"fmt"
	"time"

	"github.com/spf13/pflag"

	"boildown/plateau"
	"boildown/probe"
	"boildown/syrup"
)

// Defaults of a batch that nothing else is said about.
const (
	defaultTarget    = "235F"          // a dipping caramel; common practice, no source
	defaultLag       = 3 * time.Second // a bare 3 mm probe in moving syrup; our own choice
	defaultReaction  = 2 * time.Second
	defaultCarryOver = "0F"
	defaultNear      = "5F"
)

// batchFlags are the flags that say what the fold is told, alike for a live
// cook and for trace.
type batchFlags struct {
	set        *pflag.FlagSet
	target     probe.Celsius
	recipe     string
	altitude   float64
	waterBoils probe.Celsius
	seaLevel   bool
	lag        time.Duration
	reaction   time.Duration
	carryOver  probe.Delta
	near       probe.Delta
	unit       probe.Unit
}

func (f *batchFlags) register(set *pflag.FlagSet) {
	f.set = set
	f.target, _ = potTemp(defaultTarget)
	f.near, _ = smallDelta(defaultNear)
	f.unit = probe.UnitF
	set.Var(tempValue(&f.target, defaultTarget), "target", "endpoint, as this probe reads it here today")
	set.StringVar(&f.recipe, "recipe", "", "recipe file: what is in the pot, and its target")
	set.Var(lengthValue(&f.altitude, ""), "altitude", "height above the sea, for the air pressure")
	set.Var(tempValue(&f.waterBoils, ""), "water-boils", "what this probe reads in boiling water here today; beats --altitude")
	set.BoolVar(&f.seaLevel, "sea-level", false, "the target is a sea-level figure: shift it to this pressure")
	set.DurationVar(&f.lag, "lag", defaultLag, "the probe's time constant")
	set.DurationVar(&f.reaction, "reaction", defaultReaction, "from the pull prompt to the pot off the heat")
	set.Var(deltaValue(&f.carryOver, defaultCarryOver), "carry-over", "how far the pot goes on rising after the pull")
	set.Var(deltaValue(&f.near, defaultNear), "near", "how far below the target the early alert comes")
	set.Var(unitValue(&f.unit, "F"), "unit", "scale of what is shown")
}

// changed reports whether the person typed the flag.
func (f *batchFlags) changed(name string) bool { return f.set.Changed(name) }

// config is what the fold is told: base, the recipe over it where one is
// named, and every flag that was typed over both. Base is a session's header,
// or what [freshConfig] returns.
func (f *batchFlags) config(base plateau.Config) (plateau.Config, *recipe, error) {
	cfg := base
	for _, d := range []struct {
		name string
		is   time.Duration
		to   *time.Duration
	}{{"lag", f.lag, &cfg.Lag}, {"reaction", f.reaction, &cfg.Reaction}} {
		if f.changed(d.name) {
			if d.is < 0 || d.is > 2*time.Minute {
				return cfg, nil, usagef("", "--%s %s is not between 0s and 2m", d.name, d.is)
			}
			*d.to = d.is
		}
	}
	if f.changed("carry-over") {
		cfg.CarryOver = f.carryOver
	}
	if f.changed("near") {
		cfg.Near = f.near
	}
	if f.changed("altitude") {
		cfg.Pressure = syrup.Pressure(f.altitude)
	}
	if f.changed("water-boils") {
		if f.waterBoils < 75 || f.waterBoils > 104 {
			return cfg, nil, usagef("put the probe in water at a rolling boil, tip off the bottom", "--water-boils %s is not where water boils between 5500 m and the lowest shore", f.unit.Temp(f.waterBoils, 1))
		}
		cfg.Pressure = syrup.SaturationPressure(float64(f.waterBoils))
	}
	return f.endpoint(cfg)
}

// endpoint settles recipe and target last, since a sea-level figure needs the
// pressure that the other flags gave.
func (f *batchFlags) endpoint(cfg plateau.Config) (plateau.Config, *recipe, error) {
	var r *recipe
	shift := f.seaLevel
	if f.recipe != "" {
		var err error
		if r, err = loadRecipe(f.recipe); err != nil {
			return cfg, nil, err
		}
		cfg.Batch = r.Batch
		if r.Target != 0 {
			cfg.Target, shift = r.Target, shift || r.AtSeaLevel
		}
	}
	if f.changed("target") {
		cfg.Target, shift = f.target, f.seaLevel
	}
	switch {
	case f.seaLevel && cfg.Pressure == 0:
		return cfg, r, usagef("add --altitude 1600m or --water-boils 202F", "--sea-level cannot shift the target while the air pressure is unknown")
	case shift && cfg.Pressure != 0:
		cfg.Target = probe.Celsius(syrup.ShiftTarget(float64(cfg.Target), cfg.Pressure)).Rounded()
	}
	return cfg, r, nil
}

// freshConfig is what a batch begins with when no header says otherwise.
func freshConfig() plateau.Config {
	target, _ := potTemp(defaultTarget)
	near, _ := smallDelta(defaultNear)
	return plateau.Config{Target: target, Lag: defaultLag, Reaction: defaultReaction, Near: near}
}

// pressureFrom says where the air pressure comes from, "" when it is unknown.
func (f *batchFlags) pressureFrom(simulated bool) string {
	switch {
	case f.changed("water-boils"):
		return "water boils at " + f.unit.Temp(f.waterBoils, 1)
	case f.changed("altitude"):
		return fmt.Sprintf("altitude %.0f m", f.altitude)
	case simulated:
		return "the simulated kitchen"
	}
	return ""
}

// targetFrom says where the target comes from.
func (f *batchFlags) targetFrom(r *recipe) string {
	from := "common practice for a dipping caramel"
	switch {
	case f.changed("target"):
		from = "--target"
	case r != nil && r.Target != 0:
		from = "recipe"
	}
	if f.seaLevel {
		from += ", shifted from sea level"
	}
	return from
}
