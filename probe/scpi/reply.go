package scpi

import (
	"math"
	"strconv"
	"strings"

	"boildown/probe"
)

// The numbers that stand for no number (SCPI-1999 volume 1, 7.2.1.4–5).
const (
	infinity = 9.9e37  // overrange, with either sign
	notANum  = 9.91e37 // not a number: an open lead, as a rule
)

// parse reads the field, from 1, of an answer, in the unit given.
func parse(answer string, field int, unit Unit) (probe.Celsius, probe.Fault) {
	fields := strings.Split(answer, ",")
	if field > len(fields) {
		return 0, probe.FaultGarbled
	}
	is := strings.TrimSpace(fields[field-1])
	v, err := strconv.ParseFloat(is, 64)
	switch {
	case strings.Trim(is, "+-.0123456789eE") != "": // no decimal number (IEEE 488.2, 8.7.2–8.7.4)
		return 0, probe.FaultGarbled
	case err != nil || math.IsNaN(v) || math.IsInf(v, 0):
		return 0, probe.FaultGarbled
	case math.Abs(v-notANum) < 1e34:
		return 0, probe.FaultOpen
	case math.Abs(v) >= infinity*0.999:
		return 0, probe.FaultOverRange
	}
	c := unit.celsius(v)
	if c < probe.Coldest || c > probe.Hottest {
		return c, probe.FaultImpossible
	}
	return c, probe.FaultNone
}

// Unit is what the instrument's numbers are in. The zero value is °C.
type Unit uint8

// The units that SCPI knows (UNIT:TEMPerature).
const (
	UnitC Unit = iota
	UnitF
	UnitK
)

func (u Unit) celsius(v float64) probe.Celsius {
	switch u {
	case UnitF:
		return probe.Fahrenheit(v)
	case UnitK:
		return probe.Celsius(v - 273.15)
	}
	return probe.Celsius(v)
}

// unitFor reads an answer to UNIT:TEMP?: C, CEL, F, FAR or K.
func unitFor(answer string) (Unit, bool) {
	switch strings.ToUpper(strings.Trim(answer, " \"\r\n")) {
	case "C", "CEL":
		return UnitC, true
	case "F", "FAR":
		return UnitF, true
	case "K":
		return UnitK, true
	}
	return UnitC, false
}
