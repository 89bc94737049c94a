package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"boildown/probe"
)

// value is a flag whose text is parsed by a function, so that "235F" is
// understood in one place for every command.
type value[T any] struct {
	to    *T
	parse func(string) (T, error)
	text  string // as typed, or the default as a person would type it
	kind  string // the word in the help
}

func (v *value[T]) String() string { return v.text }
func (v *value[T]) Type() string   { return v.kind }

func (v *value[T]) Set(s string) error {
	x, err := v.parse(s)
	if err != nil {
		return err
	}
	*v.to, v.text = x, s
	return nil
}

func tempValue(to *probe.Celsius, text string) *value[probe.Celsius] {
	return &value[probe.Celsius]{to: to, parse: potTemp, text: text, kind: "temperature"}
}

func deltaValue(to *probe.Delta, text string) *value[probe.Delta] {
	return &value[probe.Delta]{to: to, parse: smallDelta, text: text, kind: "degrees"}
}

func lengthValue(to *float64, text string) *value[float64] {
	return &value[float64]{to: to, parse: parseAltitude, text: text, kind: "height"}
}

func unitValue(to *probe.Unit, text string) *value[probe.Unit] {
	return &value[probe.Unit]{to: to, parse: parseUnit, text: text, kind: "F|C"}
}

// potTemp is a temperature that a pot of sugar can have.
func potTemp(s string) (probe.Celsius, error) {
	c, err := probe.ParseTemp(s)
	if err == nil && (c < 0 || c > 250) {
		err = fmt.Errorf("%s is no temperature of a pot of caramel: 0 to 250 °C", s)
	}
	return c, err
}

// smallDelta is a difference that a cook can mean: 0 to 50 K.
func smallDelta(s string) (probe.Delta, error) {
	d, err := probe.ParseDelta(s)
	if err == nil && (d < 0 || d > 50) {
		err = fmt.Errorf("%s is not a difference between 0 and 50 °C", s)
	}
	return d, err
}

// parseAltitude reads metres or feet: "1600m", "5280ft". The bounds are the
// lowest shore and the highest town, with room.
func parseAltitude(s string) (float64, error) {
	t, metres := strings.TrimSpace(s), 1.0
	switch {
	case strings.HasSuffix(t, "ft"):
		t, metres = strings.TrimSuffix(t, "ft"), 0.3048 // exact by definition of the foot
	case strings.HasSuffix(t, "m"):
		t = strings.TrimSuffix(t, "m")
	default:
		return 0, fmt.Errorf("height %q has no unit: write it like 1600m or 5280ft", s)
	}
	n, err := strconv.ParseFloat(strings.TrimSpace(t), 64)
	if err != nil {
		return 0, fmt.Errorf("height %q is not a number with a unit: write it like 1600m or 5280ft", s)
	}
	if m := n * metres; m >= -450 && m <= 5500 && !math.IsNaN(m) {
		return m, nil
	}
	return 0, fmt.Errorf("height %q is not between -450 m and 5500 m", s)
}

func parseUnit(s string) (probe.Unit, error) {
	switch strings.TrimPrefix(strings.ToUpper(strings.TrimSpace(s)), "°") {
	case "F":
		return probe.UnitF, nil
	case "C":
		return probe.UnitC, nil
	}
	return 0, fmt.Errorf("unit %q is neither F nor C", s)
}
