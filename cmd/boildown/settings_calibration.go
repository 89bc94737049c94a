package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"boildown/probe"
)

// calibrationRecord is how a probe is corrected and how that came about: what
// it read in ice, what it read in water that boils at a known temperature, and
// when. The correction is worked out anew from these each time, so that the
// limits on it always hold.
type calibrationRecord struct {
	probe.Calibration
	Date                time.Time // zero when nobody says
	Ice, Boil, Water    probe.Celsius
	HasIce, HasBoil     bool
	Certificate, exists bool // gain and offset were given, as by a laboratory
}

// calibration reads the table [probe.NAME.calibration].
func (r *settingsReader) calibration(key []string, is any) (k calibrationRecord) {
	at := func(name string) []string { return append(slices.Clone(key), name) }
	table, ok := is.(map[string]any)
	if !ok {
		r.wrong(key, "write a table: ["+strings.Join(key, ".")+"]", "a table is wanted here")
		return k
	}
	gain, offset, hasWater := 1.0, probe.Delta(0), false
	before := len(r.problems)
	for _, name := range slices.Sorted(maps.Keys(table)) {
		v := table[name]
		switch name {
		case "date":
			k.Date = r.date(at(name), v)
		case "ice":
			k.Ice, k.HasIce = r.temp(at(name), v), true
		case "boil":
			k.Boil, k.HasBoil = r.temp(at(name), v), true
		case "water":
			k.Water, hasWater = r.temp(at(name), v), true
		case "gain":
			gain, k.Certificate = r.number(at(name), v), true
		case "offset":
			offset, k.Certificate = r.delta(at(name), v), true
		default:
			r.wrong(at(name), didYouMean(name, []string{"date", "ice", "boil", "water", "gain", "offset"}), "this key means nothing here")
		}
	}
	switch {
	case len(r.problems) > before:
		return k
	case k.Certificate && (k.HasIce || k.HasBoil):
		r.wrong(key, "keep ice, boil and water, or gain and offset", "it is given twice: as measured points and as a correction")
	case k.HasBoil != hasWater:
		r.wrong(key, "water is what boiling water truly was when the probe read boil", "boil and water belong together")
	}
	if len(r.problems) > before {
		return k
	}
	if err := k.workOut(gain, offset); err != nil {
		r.wrong(key, "boildown calibrate measures it anew", "%s", strings.TrimPrefix(err.Error(), "calibrating: "))
	}
	return k
}

// workOut makes the correction of what was measured or given.
func (k *calibrationRecord) workOut(gain float64, offset probe.Delta) (err error) {
	k.exists = true
	switch {
	case k.HasIce && k.HasBoil:
		k.Calibration, err = probe.TwoPoint(k.Ice, k.Boil, k.Water)
	case k.HasBoil:
		k.Calibration, err = probe.OnePoint(k.Boil, k.Water)
	case k.HasIce:
		k.Calibration, err = probe.OnePoint(k.Ice, 0)
	case k.Certificate:
		k.Calibration = probe.Calibration{Gain: gain, Offset: offset}
		if !(gain >= probe.MinGain && gain <= probe.MaxGain) || !(offset >= -probe.MaxOffset && offset <= probe.MaxOffset) {
			err = fmt.Errorf("gain %g and offset %.1f K are beyond what a sound probe needs: gain 0.97 to 1.03, offset within 3 K", gain, float64(offset))
		}
	default:
		k.exists = false
	}
	return err
}

func (r *settingsReader) temp(key []string, is any) probe.Celsius {
	s, _ := is.(string)
	c, err := probe.ParseTemp(s)
	if err != nil {
		r.wrong(key, "write it like "+key[len(key)-1]+` = "99.10C"`, "a temperature with its unit is wanted here")
	}
	return c
}

func (r *settingsReader) delta(key []string, is any) probe.Delta {
	s, _ := is.(string)
	d, err := probe.ParseDelta(s)
	if err != nil {
		r.wrong(key, `write it like offset = "-0.6C"`, "degrees with their unit are wanted here")
	}
	return d
}

func (r *settingsReader) number(key []string, is any) float64 {
	switch n := is.(type) {
	case float64:
		return n
	case int64:
		return float64(n)
	}
	r.wrong(key, "write it like gain = 0.998", "a number is wanted here")
	return 0
}

// how says what the correction rests on.
func (k calibrationRecord) how() string {
	switch {
	case k.HasIce && k.HasBoil:
		return "ice and boiling water"
	case k.HasBoil:
		return "boiling water"
	case k.HasIce:
		return "ice"
	case k.Certificate:
		return "given figures"
	}
	return "none"
}

// ageDays is how old the calibration is at now, in whole days.
func (k calibrationRecord) ageDays(now time.Time) int { return daysBetween(k.Date, now) }

func daysBetween(from, to time.Time) int { return int(to.Sub(from) / (24 * time.Hour)) }

// words says in a few words how the correction came about, for the screen; a
// calibration older than days is said to be old.
func (k calibrationRecord) words(now time.Time, days int) string {
	s := k.how()
	if k.Date.IsZero() {
		return s + ", undated"
	}
	if age := k.ageDays(now); age > days {
		return fmt.Sprintf("%s, %d days ago: old", s, age)
	}
	return s + " on " + k.Date.Format(time.DateOnly)
}

// weatherDays is how long a boiling point of water holds: a front moves it by
// more than the pull's window (98.0–104.0 kPa is 3 °F).
const weatherDays = 1

// warnings are what the cook should know of the probe before the hob is lit.
// boilUsed says that the probe's water-boils gives the air pressure.
func (p *namedProbe) warnings(now time.Time, days int, boilUsed bool) (all []string) {
	switch {
	case p == nil:
		return nil
	case !p.cal.exists:
	case p.cal.Date.IsZero():
		all = append(all, fmt.Sprintf("the calibration of %s has no date: boildown calibrate --probe %s makes a new one", p.name, p.name))
	case p.cal.ageDays(now) > days:
		all = append(all, fmt.Sprintf("the calibration of %s is %d days old: boildown calibrate --probe %s makes a new one", p.name, p.cal.ageDays(now), p.name))
	}
	if boilUsed && daysBetween(p.boiled, now) > weatherDays {
		when := "on an unknown day"
		if !p.boiled.IsZero() {
			when = "on " + p.boiled.Format(time.DateOnly)
		}
		all = append(all, fmt.Sprintf("water boiled at %s for %s %s; the weather moves that by up to 3 °F: give today's with --water-boils", p.values["water-boils"].text, p.name, when))
	}
	return all
}
