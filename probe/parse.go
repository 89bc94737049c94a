package probe

import (
	"math"
	"slices"
	"strings"
)

// The range a pot, its room and its freezer can have. Beyond it a reading is
// [FaultImpossible]. Our own choice, no source: a sugar fire is hotter, but
// nobody cooks by it.
const (
	Coldest Celsius = -50
	Hottest Celsius = 400
)

// disconnected is what the usual driver of 1-wire sensors returns for a sensor
// that does not answer, in °C.
const disconnected = -127

// value turns a number that is known to be the temperature into a reading.
func (f Format) value(v float64, u stated) (Celsius, Fault) {
	c := Celsius(v)
	if u == statedF || u == statedNone && f.Unit == UnitF {
		c = Fahrenheit(v)
	}
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return 0, FaultReported
	case math.Abs(float64(c)-disconnected) < 0.01:
		return 0, FaultOpen
	case c < Coldest || c > Hottest:
		return c, FaultImpossible
	}
	return c, FaultNone
}

// read turns an item that is known to be the temperature into a reading.
func (f Format) read(it item) (Celsius, Fault) {
	u, clash := it.statedUnit()
	switch {
	case it.fault != FaultNone:
		return 0, it.fault
	case it.bad, it.cut, clash:
		return 0, FaultGarbled
	case f.Sensor != SensorNone && u != statedC && u != statedF:
		return f.Sensor.read(it.value, f.Cold)
	case f.Sensor != SensorNone, u == statedOther:
		return 0, FaultGarbled
	}
	return f.value(it.value, u)
}

// statedUnit returns the unit that number and label state; clash when they
// differ.
func (it item) statedUnit() (u stated, clash bool) {
	label := statedNone
	for _, w := range it.words {
		switch strings.ToLower(w) {
		case "c", "celsius", "centigrade", "degc":
			label = statedC
		case "f", "fahrenheit", "degf":
			label = statedF
		}
	}
	switch {
	case label == statedNone:
		return it.unit, false
	case it.unit == statedNone:
		return label, false
	}
	return it.unit, it.unit != label
}

// plain reports whether an item is a temperature by what the text says, with
// nothing chosen.
func (it item) plain() bool {
	u, clash := it.statedUnit()
	if it.unknown || it.ordinal || it.cut || clash || u == statedOther {
		return false
	}
	if it.fault == FaultNone && !it.bad && (it.unit == statedC || it.unit == statedF) {
		return true
	}
	if len(it.words) == 1 && (it.words[0] == "C" || it.words[0] == "F") && it.whole {
		return false // "C: 5" counts something as likely as not
	}
	return it.named && (it.assigned || !it.whole) // "temp 1" is a name
}

// stray reports whether an item is a number of which the line says nothing.
func (it item) stray() bool {
	return len(it.words) == 0 && it.unit == statedNone && !it.ordinal && it.fault == FaultNone
}

// auto reads a line in which nothing has been chosen.
func (f Format) auto(sc scanned) (Celsius, Fault) {
	if len(sc.items) == 1 && len(sc.words) == 0 && !sc.odd {
		if it := sc.items[0]; !it.unknown && !it.ordinal && !it.assigned {
			return f.read(it)
		}
	}
	if f := sc.told(); f != FaultNone {
		return 0, f
	}
	if sc.odd || slices.ContainsFunc(sc.loose, func(w string) bool { return kindOf(w) == wordUnknown }) {
		return 0, FaultEmpty
	}
	var found []item
	for _, it := range sc.items {
		switch {
		case it.plain():
			found = append(found, it)
		case it.stray():
			return 0, FaultEmpty // it could be the pot as well, or the head of a torn number
		}
	}
	switch len(found) {
	case 1:
		return f.read(found[0])
	case 2:
		return f.twice(found[0], found[1])
	}
	return 0, FaultEmpty
}

// twice reads the same temperature printed in both units.
func (f Format) twice(a, b item) (Celsius, Fault) {
	ua, _ := a.statedUnit()
	ub, _ := b.statedUnit()
	if ua == ub || ua == statedNone || ub == statedNone {
		return 0, FaultEmpty
	}
	if ua == statedF {
		a, b = b, a
	}
	c, fc := f.read(a)
	other, fo := f.read(b)
	slack := 0.1
	if a.whole || b.whole {
		slack = 0.9 // two whole numbers, each rounded or cut
	}
	switch {
	case fc != fo:
		return 0, FaultEmpty
	case fc != FaultNone:
		return c, fc
	case math.Abs(float64(c-other)) > slack:
		return 0, FaultEmpty
	}
	return c, FaultNone
}

// told returns the fault that a line without a measurement tells of in words,
// if every word of it belongs to such a message.
func (sc scanned) told() Fault {
	for _, it := range sc.items {
		if !it.ordinal && it.fault == FaultNone {
			return FaultNone
		}
	}
	worst := FaultNone
	missing, thing := false, false
	for _, w := range sc.words {
		fault, isFault := wordsFault[w]
		switch {
		case isFault:
			if worst == FaultNone || fault < worst {
				worst = fault // the named ones come before FaultReported
			}
		case w == "no" || w == "not":
			missing = true
		case kindOf(w) == wordUnknown && !wordsAroundFault[w]:
			return FaultNone
		}
		thing = thing || w == "probe" || w == "sensor" || w == "thermocouple" || w == "connected" || w == "connection"
	}
	if missing && thing && (worst == FaultNone || worst == FaultReported) {
		return FaultOpen
	}
	return worst
}
