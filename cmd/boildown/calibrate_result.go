package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"time"

	"boildown/probe"
	"boildown/syrup"
)

// finish works the points out, shows what comes of them and keeps it.
func (c *calibration) finish(ctx context.Context, k calibrationRecord) error {
	boils, told := probe.Celsius(0), false
	if k.HasBoil && c.air.pPa > 0 {
		k.Water = c.water()
	} else if k.HasBoil { // it tells the pressure, and nothing of the probe
		boils, told = k.Boil, true
		k.Boil, k.HasBoil = 0, false
	}
	if err := k.workOut(1, 0); err != nil {
		return hinted(err, "nothing was kept; measure both baths again, or use another probe")
	}
	if !k.exists { // the boil alone, read on the scale that the probe has so far
		k = c.before
	}
	if told {
		boils = k.Apply(boils).Rounded()
		if !boilingPoint(boils) {
			return hinted(fmt.Errorf("corrected, the water boiled at %s, where it boils nowhere on earth", c.unit.Temp(boils, 1)), "nothing was kept; was it plain water at a rolling boil?")
		}
	}
	c.show(k, boils, told)
	return c.offer(ctx, k, boils, told)
}

// show says what was found.
func (c *calibration) show(k calibrationRecord, boils probe.Celsius, told bool) {
	c.say("")
	if k.exists {
		at := func(t probe.Celsius) string {
			return fmt.Sprintf("%+.2f %s at %s", c.unit.OfDelta(probe.Delta(k.Apply(t)-t)), c.unit, c.unit.Temp(t, 0))
		}
		c.say("By %s: gain %.5f, offset %+.3f K. Readings are corrected by\n%s and by %s.", k.how(), k.Gain, float64(k.Offset), at(0), at(probe.Fahrenheit(235)))
		switch {
		case k.HasIce && !k.HasBoil:
			c.say("Ice alone says nothing of the error where caramel boils: add the boil when the\npressure is known.")
		case k.HasBoil && !k.HasIce:
			c.say("One bath gives an offset alone; near the caramel's boil it is the one that counts.")
		}
	}
	if told {
		pPa := syrup.SaturationPressure(float64(boils))
		c.say("Water boils at %s: the air has %.1f kPa. It holds for today; the weather moves it.", c.unit.Temp(boils, 2), pPa/1e3)
	}
}

// offer keeps the result when the person wants it kept.
func (c *calibration) offer(ctx context.Context, k calibrationRecord, boils probe.Celsius, told bool) error {
	if c.keep == nil {
		c.say("A simulated probe without a name: nothing is kept.")
		return nil
	}
	answer, err := c.ask(ctx, "Enter keeps it, n throws it away:")
	if err != nil {
		return err
	}
	if strings.HasPrefix(answer, "n") {
		c.say("Thrown away; all is as it was.")
		return nil
	}
	changes := boiledChanges(c.today, boils, told)
	if k.exists && !k.Date.IsZero() && k.Date.Equal(c.today) {
		changes = append(changes, k.changes()...)
	}
	where, err := c.keep(changes)
	if err != nil {
		return err
	}
	c.say("Kept with %s.", oneLine(where))
	return nil
}

// changes are the lines of the probe's calibration table.
func (k calibrationRecord) changes() (all []change) {
	line := func(key, literal string) {
		all = append(all, change{[]string{"calibration", key}, literal})
	}
	temp := func(key string, t probe.Celsius, has bool) {
		if !has {
			line(key, "") // a point of an older calibration
			return
		}
		line(key, quoted(celsiusText(t)))
	}
	line("gain", "")
	line("offset", "")
	line("date", k.Date.Format(time.DateOnly))
	temp("ice", k.Ice, k.HasIce)
	temp("boil", k.Boil, k.HasBoil)
	temp("water", k.Water, k.HasBoil)
	return all
}

// boiledChanges are the lines that keep where water boils, or forget it: a new
// calibration makes an older boiling point one of another scale.
func boiledChanges(today time.Time, boils probe.Celsius, told bool) []change {
	if !told {
		return []change{{[]string{"water-boils"}, ""}, {[]string{boiledKey}, ""}}
	}
	return []change{
		{[]string{"water-boils"}, quoted(celsiusText(boils))},
		{[]string{boiledKey}, today.Format(time.DateOnly)},
	}
}

// celsiusText writes a temperature to the thousandth, as the session file does.
func celsiusText(t probe.Celsius) string {
	return strconv.FormatFloat(float64(t.Rounded()), 'f', 3, 64) + "C"
}

// Pressure units; the inch and the millimetre of mercury by NIST SP 811.
var pressureUnits = []struct {
	name string
	pa   float64
}{{"hpa", 100}, {"mbar", 100}, {"kpa", 1000}, {"inhg", 3386.389}, {"mmhg", 133.3224}, {"pa", 1}}

// parsePressure reads an air pressure: "954.6hPa", "28.2inHg".
func parsePressure(s string) (float64, error) {
	t := strings.ToLower(strings.TrimSpace(s))
	for _, u := range pressureUnits {
		number, ok := strings.CutSuffix(t, u.name)
		if !ok {
			continue
		}
		n, err := strconv.ParseFloat(strings.TrimSpace(number), 64)
		if err != nil {
			return 0, fmt.Errorf("pressure %q is not a number with a unit: write it like 954.6hPa or 28.2inHg", s)
		}
		if p := n * u.pa; p >= 50e3 && p <= 110e3 {
			return p, nil
		}
		return 0, fmt.Errorf("pressure %q is no air pressure of a kitchen: 500 to 1100 hPa", s)
	}
	return 0, fmt.Errorf("pressure %q has no unit: write it like 954.6hPa or 28.2inHg", s)
}
