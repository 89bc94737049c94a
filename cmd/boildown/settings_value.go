package main

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"boildown/probe"
)

// example shows how a key is written.
func example(f *pflag.Flag) string {
	return "write it like " + keyOf(f.Name) + " = " + literal(f, exampleValue(f))
}

func exampleValue(f *pflag.Flag) string {
	if f.DefValue != "" {
		return f.DefValue
	}
	examples := map[string]string{
		"altitude": "300m", "water-boils": "210.4F", "probe": "kettle", "recipe": "stall-dip",
		"alert": "paplay bell.oga", "also": "room=field:2", "publish": "mqtt://192.168.1.5/kitchen/pot1", "separator": ";", "key": "pot", "cook": "Mara", "hob": "left",
	}
	if e := examples[f.Name]; e != "" {
		return e
	}
	return "…"
}

// literal writes a flag's value as TOML.
func literal(f *pflag.Flag, text string) string {
	switch f.Value.Type() {
	case "bool", "int", "uint64", "float64":
		return text
	}
	return quoted(text)
}

// quoted is a basic string of TOML.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < 0x20 || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// flagBounds says what is wrong with a value that its flag's parser takes but
// the commands refuse, so that the file's line can be named; "" when nothing.
func flagBounds(flag, text string) string {
	switch flag {
	case "lag", "reaction":
		if d, err := time.ParseDuration(text); err != nil || d < 0 || d > 2*time.Minute {
			return fmt.Sprintf("%s is not between 0s and 2m", text)
		}
	case "water-boils":
		if c, err := probe.ParseTemp(text); err != nil || !boilingPoint(c) {
			return fmt.Sprintf("%s is not where water boils between 5500 m and the lowest shore", text)
		}
	case "rate":
		return wholeBetween(text, 1, 10)
	case "calibration-days":
		return wholeBetween(text, 1, 3650)
	case "theme":
		return oneOf(text, "dark", "light", "plain")
	case "notify":
		return oneOf(text, "auto", "off", "9", "777", "99")
	}
	return ""
}

func wholeBetween(text string, low, high int) string {
	if n, err := strconv.Atoi(text); err != nil || n < low || n > high {
		return fmt.Sprintf("%s is not between %d and %d", text, low, high)
	}
	return ""
}

func oneOf(text string, words ...string) string {
	if slices.Contains(words, text) {
		return ""
	}
	return fmt.Sprintf("%q is none of %s", text, strings.Join(words, ", "))
}

// boilingPoint reports whether water can boil at c on any kitchen's stove.
func boilingPoint(c probe.Celsius) bool { return c >= 75 && c <= 104 }
