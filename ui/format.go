package ui

import (
	"fmt"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// clock writes a time since the batch began: "4:05", "1:04:05".
func clock(d time.Duration) string {
	s := int(max(d, 0) / time.Second)
	if s >= 3600 {
		return fmt.Sprintf("%d:%02d:%02d", s/3600, s/60%60, s%60)
	}
	return fmt.Sprintf("%d:%02d", s/60, s%60)
}

// long writes a stretch of time in words: "40 s", "2 min", "1 h 5 min".
func long(d time.Duration) string {
	d = max(d, 0)
	switch {
	case d < 100*time.Second:
		return fmt.Sprintf("%d s", int(d.Seconds()))
	case d < time.Hour:
		return fmt.Sprintf("%d min", int(d.Minutes()+0.5))
	}
	m := int(d.Minutes() + 0.5)
	return fmt.Sprintf("%d h %d min", m/60, m%60)
}

// digits splits a temperature for the large figures: "234" and "6".
func digits(c probe.Celsius, u probe.Unit) (whole, tenth string) {
	s := fmt.Sprintf("%.1f", u.Of(c))
	return s[:len(s)-2], s[len(s)-1:]
}

// number writes a temperature without its unit and without a useless ".0".
func number(c probe.Celsius, u probe.Unit) string {
	v := math.Round(u.Of(c)*10) / 10
	if v == math.Trunc(v) {
		return fmt.Sprintf("%.0f", v)
	}
	return fmt.Sprintf("%.1f", v)
}

// temp writes a temperature with its unit: "235 °F".
func temp(c probe.Celsius, u probe.Unit) string { return number(c, u) + " " + u.String() }

// diff writes a difference with one decimal: "14.6 °F".
func diff(d probe.Delta, u probe.Unit) string { return u.Diff(d, 1) }

// rising says in words how fast the pot changes. slope is in °C/min.
func rising(slope float64, u probe.Unit) string {
	v := u.OfDelta(probe.Delta(slope))
	switch {
	case math.Abs(v) < 0.05:
		return "standing still"
	case v < 0:
		return fmt.Sprintf("falling %.1f %s a minute", -v, u)
	}
	return fmt.Sprintf("rising %.1f %s a minute", v, u)
}

// remaining is a forecast rounded as coarsely as it deserves: the interval
// outwards, and in seconds only when minutes would say nothing.
type remaining struct {
	low, high, likely string
	open              bool   // nobody knows how late it may be
	unit              string // "min" or "sec"
	long              string // the unit in full
}

func remainingOf(f plateau.Forecast) remaining {
	step, per, unit, long := time.Minute, time.Minute, "min", "minutes"
	end := f.High
	if f.Open() {
		end = f.ETA
	}
	switch {
	case end < 100*time.Second:
		step, per, unit, long = 5*time.Second, time.Second, "sec", "seconds"
	case end < 5*time.Minute:
		step = 30 * time.Second
	}
	n := func(d time.Duration) string {
		whole, half := int64(d/per), d%per != 0
		if half {
			return fmt.Sprintf("%d.5", whole)
		}
		return fmt.Sprint(whole)
	}
	return remaining{
		low:    n(max(f.Low, 0).Truncate(step)),
		high:   n((max(f.High, 0) + step - 1).Truncate(step)),
		likely: n(max(f.ETA, 0).Round(step)),
		open:   f.Open(),
		unit:   unit, long: long,
	}
}

// latest is how far ahead a forecast is drawn: to its late end, or well past the
// likeliest moment where that is open.
func latest(f plateau.Forecast) time.Duration {
	if f.Open() {
		return min(3*f.ETA, 3*time.Hour)
	}
	return f.High
}

// figures is the interval for the large letters: "11-18", "5" when both ends
// round to the same, "11+" when it is open.
func (r remaining) figures() string {
	switch {
	case r.open:
		return r.low + "+"
	case r.low == r.high:
		return r.low
	}
	return r.low + "-" + r.high
}

// words is the interval as a sentence says it.
func (r remaining) words() string {
	switch {
	case r.open:
		return r.low + " or more " + r.long
	case r.low == r.high:
		return "about " + r.high + " " + r.long
	}
	return r.low + " to " + r.high + " " + r.long
}

// whyWords says why there is no forecast, short and in full.
func whyWords(w plateau.Why) (short, full string) {
	switch w {
	case plateau.WhyNoBoil:
		return "not boiling yet", "the time left can be told once the whole pot boils"
	case plateau.WhyTooEarly:
		return "too early to tell", "too little has been seen of this boil"
	case plateau.WhyNotOnItsWay:
		return "not at this heat", "this heat will not get there"
	case plateau.WhyHeatChanged:
		return "heat has changed", "looking at the boil afresh"
	case plateau.WhyDoubtful:
		return "readings in doubt", "no forecast from doubtful readings"
	}
	return "", ""
}

// phaseNames are the phases as the screen names them, in the order of a cook.
var phaseNames = [...]string{"ready", "melt", "cream", "stall", "climb", "pulled", "dip", "done"}

func phaseName(p plateau.Phase) string {
	if int(p) < len(phaseNames) {
		return phaseNames[p]
	}
	return phaseNames[0]
}
