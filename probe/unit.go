package probe

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Celsius is a temperature in °C. It is not a difference; see [Delta].
type Celsius float64

// Delta is a temperature difference in kelvin. Keeping it apart from [Celsius]
// makes the forgotten or superfluous 32 of a °F conversion a compile error.
type Delta float64

// Fahrenheit returns the temperature of f °F.
func Fahrenheit(f float64) Celsius { return Celsius((f - 32) / 1.8) }

// F returns the temperature in °F.
func (c Celsius) F() float64 { return float64(c)*1.8 + 32 }

// Rounded returns c to the thousandth of a degree, the resolution kept in a
// session file.
func (c Celsius) Rounded() Celsius { return Celsius(math.Round(float64(c)*1e3) / 1e3) }

// DeltaF returns the difference of f Fahrenheit degrees.
func DeltaF(f float64) Delta { return Delta(f / 1.8) }

// F returns the difference in Fahrenheit degrees.
func (d Delta) F() float64 { return float64(d) * 1.8 }

// Unit is the scale a person reads. The zero value is °C.
type Unit uint8

// The two scales.
const (
	UnitC Unit = iota
	UnitF
)

// String returns "°C" or "°F".
func (u Unit) String() string {
	if u == UnitF {
		return "°F"
	}
	return "°C"
}

// Of returns c as a number on the scale u.
func (u Unit) Of(c Celsius) float64 {
	if u == UnitF {
		return c.F()
	}
	return float64(c)
}

// OfDelta returns d as a number of degrees on the scale u.
func (u Unit) OfDelta(d Delta) float64 {
	if u == UnitF {
		return d.F()
	}
	return float64(d)
}

// Temp writes c on the scale u with the given decimals, as in "235.0 °F".
func (u Unit) Temp(c Celsius, decimals int) string {
	return strconv.FormatFloat(u.Of(c), 'f', decimals, 64) + " " + u.String()
}

// Diff writes d on the scale u with the given decimals, as in "5 °F".
func (u Unit) Diff(d Delta, decimals int) string {
	return strconv.FormatFloat(u.OfDelta(d), 'f', decimals, 64) + " " + u.String()
}

// ParseTemp reads a temperature with its unit: "235F", "112.8 °C", "112.8c".
// A bare number is an error, since 113 is a fine caramel on one scale and
// lukewarm on the other.
func ParseTemp(s string) (Celsius, error) {
	n, u, err := splitUnit(s)
	if err != nil {
		return 0, err
	}
	if u == UnitF {
		return Fahrenheit(n), nil
	}
	return Celsius(n), nil
}

// ParseDelta reads a difference with its unit: "5F", "2.5C".
func ParseDelta(s string) (Delta, error) {
	n, u, err := splitUnit(s)
	if err != nil {
		return 0, err
	}
	if u == UnitF {
		return DeltaF(n), nil
	}
	return Delta(n), nil
}

func splitUnit(s string) (float64, Unit, error) {
	t := strings.TrimSpace(s)
	unit := UnitC
	switch {
	case strings.HasSuffix(t, "F"), strings.HasSuffix(t, "f"):
		unit = UnitF
	case strings.HasSuffix(t, "C"), strings.HasSuffix(t, "c"):
	default:
		return 0, 0, fmt.Errorf("temperature %q has no unit: write it like 235F or 113C", s)
	}
	t = strings.TrimSpace(strings.TrimSuffix(t[:len(t)-1], "°"))
	n, err := strconv.ParseFloat(t, 64)
	if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
		return 0, 0, fmt.Errorf("temperature %q is not a number with a unit: write it like 235F or 113C", s)
	}
	return n, unit, nil
}
