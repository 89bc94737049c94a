package main

import (
	"fmt"
	"strconv"
	"strings"
)

// Units of a recipe. US customary volumes by NIST Handbook 44, Appendix C (a
// gallon is 231 cubic inches), masses by the international pound.
var (
	gramsOf = map[string]float64{
		"g": 1, "gram": 1, "grams": 1, "kg": 1000,
		"oz": 28.349523125, "lb": 453.59237, "lbs": 453.59237,
	}
	mLOf = map[string]float64{
		"ml": 1, "cl": 10, "dl": 100, "l": 1000,
		"tsp": 4.92892159375, "tbsp": 14.78676478125, "fl oz": 29.5735295625,
		"cup": 236.5882365, "cups": 236.5882365, "pt": 473.176473, "qt": 946.352946, "gal": 3785.411784,
	}
	cmOf = map[string]float64{"mm": 0.1, "cm": 1, "in": 2.54}
)

var fractionOf = map[rune]string{'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅛': "1/8"}

// quantity is a number with the unit that was written behind it, lower case.
func quantity(s string) (n float64, unit string, err error) {
	var b strings.Builder
	for _, r := range strings.TrimSpace(s) {
		if f, ok := fractionOf[r]; ok {
			b.WriteString(" " + f + " ")
		} else {
			b.WriteRune(r)
		}
	}
	t := strings.TrimSpace(b.String())
	end := strings.LastIndexAny(t, "0123456789")
	if end < 0 {
		return 0, "", fmt.Errorf("%q holds no number", s)
	}
	number, unit := t[:end+1], strings.ToLower(strings.TrimSpace(t[end+1:]))
	for _, word := range strings.Fields(number) {
		part, err := fraction(word)
		if err != nil {
			return 0, "", fmt.Errorf("%q is not a number with a unit", s)
		}
		n += part
	}
	if !(n > 0 && n < 1e6) {
		return 0, "", fmt.Errorf("%q is not an amount above nothing", s)
	}
	return n, strings.TrimSuffix(unit, "."), nil
}

// fraction reads "3", "2.5" or "1/2"; no sign, no exponent.
func fraction(s string) (float64, error) {
	if strings.Trim(s, "0123456789./") != "" {
		return 0, strconv.ErrSyntax
	}
	top, bottom, divided := strings.Cut(s, "/")
	n, err := strconv.ParseFloat(top, 64)
	if err != nil || !divided {
		return n, err
	}
	d, err := strconv.ParseFloat(bottom, 64)
	if err == nil && d == 0 {
		err = strconv.ErrRange
	}
	return n / d, err
}

// parseAmount reads how much of a food there is. A volume is weighed with the
// food's density, and how says with which.
func parseAmount(s string, gPerML float64) (grams float64, how string, err error) {
	n, unit, err := quantity(s)
	if err != nil {
		return 0, "", err
	}
	if g, ok := gramsOf[unit]; ok {
		return n * g, "", nil
	}
	mL, ok := mLOf[unit]
	switch {
	case unit == "":
		return 0, "", fmt.Errorf("%q has no unit", s)
	case !ok:
		return 0, "", fmt.Errorf("%q has a unit that is not known", s)
	case gPerML == 0:
		return 0, "", fmt.Errorf("%q is a volume, and nothing says how heavy it is", s)
	}
	return n * mL * gPerML, fmt.Sprintf("%.0f mL at %.3g g/mL", n*mL, gPerML), nil
}

// parseVolume reads what a pot holds, in mL.
func parseVolume(s string) (mL float64, err error) { return parseIn(mLOf, s, "1.9 L or 2 qt") }

// parseMass reads what a pot weighs, in g.
func parseMass(s string) (g float64, err error) { return parseIn(gramsOf, s, "1 kg or 2 lb") }

// parseWidth reads what a pot measures across, in cm.
func parseWidth(s string) (cm float64, err error) { return parseIn(cmOf, s, "16 cm or 6 1/2 in") }

func parseIn(units map[string]float64, s, example string) (float64, error) {
	n, unit, err := quantity(s)
	if err != nil {
		return 0, fmt.Errorf("%w: write it like %s", err, example)
	}
	size, ok := units[unit]
	if !ok {
		return 0, fmt.Errorf("%q has no unit that fits: write it like %s", s, example)
	}
	return n * size, nil
}
