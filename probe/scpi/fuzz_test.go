package scpi

import (
	"testing"

	"boildown/probe"
)

// An instrument's answer, whatever it is, is a temperature in range or a fault.
func FuzzAnswer(f *testing.F) {
	for _, s := range []string{"+1.04500000E+02", "9.9E37", "9.91E+37", "-9.9e37", "1,2,3", "", "NAN", "1e999", "\x1b[2J"} {
		f.Add(s, 1, uint8(0))
	}
	f.Fuzz(func(t *testing.T, s string, field int, unit uint8) {
		if field < 1 {
			field = 1 // Options refuses others
		}
		c, fault := parse(s, field, Unit(unit%3))
		if fault == probe.FaultNone && !(c >= probe.Coldest && c <= probe.Hottest) {
			t.Errorf("%q is %v without a fault", s, c)
		}
		unitFor(s)
	})
}
