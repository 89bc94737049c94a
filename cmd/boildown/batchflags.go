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
	dipOpen    probe.Celsius
	dipClose   probe.Celsius
	unit       probe.Unit
	recorded   bool // the base is a session's header
}

func (f *batchFlags) register(set *pflag.FlagSet) {
	f.set = set
	f.target, _ = potTemp(defaultTarget)
	f.near, _ = smallDelta(defaultNear)
	f.dipOpen, _ = potTemp(defaultDipOpen)
	f.dipClose, _ = potTemp(defaultDipClose)
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
	set.Var(tempValue(&f.dipOpen, defaultDipOpen), "dip-open", "hot end of the dip window")
	set.Var(tempValue(&f.dipClose, defaultDipClose), "dip-close", "cool end of the dip window")
	set.Var(unitValue(&f.unit, "F"), "unit", "scale of what is shown")
}

// changed reports whether the person typed the flag.
func (f *batchFlags) changed(name string) bool { return f.set.Changed(name) }

// given reports whether the person typed the flag or keeps it in the settings.
func (f *batchFlags) given(name string) bool { return given(f.set, name) }

// settled is what the flags come to.
type settled struct {
	plateau.Config
	recipe     *recipe // nil when none is named
	targetFrom string  // where the target comes from, in words; "" when the base's holds
}

// settle lays settings over base, the recipe, where one is named, over both and
// every flag that was typed over them all. Base is a session's header, or [freshConfig]'s.
func (f *batchFlags) settle(base plateau.Config) (settled, error) {
	s := settled{Config: base}
	for _, d := range []struct {
		name string
		is   time.Duration
		to   *time.Duration
	}{{"lag", f.lag, &s.Lag}, {"reaction", f.reaction, &s.Reaction}} {
		if f.given(d.name) {
			if d.is < 0 || d.is > 2*time.Minute {
				return s, usagef("", "--%s %s is not between 0s and 2m", d.name, d.is)
			}
			*d.to = d.is
		}
	}
	if f.given("carry-over") {
		s.CarryOver = f.carryOver
	}
	if f.given("near") {
		s.Near = f.near
	}
	f.dip(&s.Config, f.given)
	switch strongest(f.set, "water-boils", "altitude") {
	case "altitude":
		s.Pressure = syrup.Pressure(f.altitude)
	case "water-boils":
		if !boilingPoint(f.waterBoils) {
			return s, usagef("put the probe in water at a rolling boil, tip off the bottom", "--water-boils %s is not where water boils between 5500 m and the lowest shore", f.unit.Temp(f.waterBoils, 1))
		}
		s.Pressure = syrup.SaturationPressure(float64(f.waterBoils))
	}
	if err := f.endpoint(&s); err != nil {
		return s, err
	}
	f.dip(&s.Config, f.changed)
	if open, shut := dipWindow(s.Config); open <= shut {
		return s, usagef("--dip-open 215F --dip-close 210F", "the dip window opens at %s and closes at %s: the pot cools from the one to the other", f.unit.Temp(open, 1), f.unit.Temp(shut, 1))
	}
	return s, nil
}

// dip sets the ends of the dip window that were said.
func (f *batchFlags) dip(cfg *plateau.Config, said func(string) bool) {
	if said("dip-open") {
		cfg.DipOpen = f.dipOpen
	}
	if said("dip-close") {
		cfg.DipClose = f.dipClose
	}
}

// dipWindow returns the window's ends, the usual ones where cfg has none.
func dipWindow(cfg plateau.Config) (open, shut probe.Celsius) {
	open, shut = cfg.DipOpen, cfg.DipClose
	if open == 0 {
		open, _ = potTemp(defaultDipOpen)
	}
	if shut == 0 {
		shut, _ = potTemp(defaultDipClose)
	}
	return open, shut
}

// endpoint settles recipe and target last, since a sea-level figure needs the
// pressure that the other flags gave.
func (f *batchFlags) endpoint(s *settled) error {
	if f.seaLevel && s.Pressure == 0 {
		return usagef("add --altitude 1600m or --water-boils 202F", "--sea-level cannot shift the target while the air pressure is unknown")
	}
	if f.recipe != "" {
		r, err := loadRecipe(f.recipe)
		if err != nil {
			return err
		}
		s.recipe = r
		r.apply(&s.Config)
		if !r.Dips {
			f.dip(&s.Config, f.given)
		}
		if r.Target != 0 && !f.changed("target") {
			at := *r
			at.AtSeaLevel = at.AtSeaLevel || f.seaLevel
			s.Target, s.targetFrom = at.TargetAt(s.Pressure)
			return nil
		}
	}
	switch {
	case f.changed("target"):
		s.Target, s.targetFrom = f.target.Rounded(), "--target"
	case f.given("target"):
		s.Target, s.targetFrom = f.target.Rounded(), "the settings"
	case f.recorded: // a session's target was settled when it was cooked
		return nil
	default:
		s.targetFrom = "common practice for a dipping caramel, no source"
	}
	if f.seaLevel {
		s.Target = probe.Celsius(syrup.ShiftTarget(float64(s.Target), s.Pressure)).Rounded()
		s.targetFrom += ", shifted from sea level"
	}
	return nil
}

// freshConfig is what a batch begins with when no header says otherwise.
func freshConfig() plateau.Config {
	target, _ := potTemp(defaultTarget)
	near, _ := smallDelta(defaultNear)
	return plateau.Config{Target: target.Rounded(), Lag: defaultLag, Reaction: defaultReaction, Near: near}
}

// pressureFrom says where the air pressure comes from, "" when it is unknown.
func (f *batchFlags) pressureFrom(simulated bool) string {
	switch strongest(f.set, "water-boils", "altitude") {
	case "water-boils":
		return "water boils at " + f.unit.Temp(f.waterBoils, 1)
	case "altitude":
		return fmt.Sprintf("altitude %.0f m", f.altitude)
	}
	if simulated {
		return "the simulated kitchen"
	}
	return ""
}
