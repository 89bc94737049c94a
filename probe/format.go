package probe

import (
	"strconv"
	"strings"
)

// Format says where in a line the temperature is. The zero value finds it
// alone wherever the line plainly holds just one, taking numbers without a
// unit for °C.
type Format struct {
	Unit  Unit   // of numbers whose line states none; a stated unit wins
	Field int    // 1 for the first field, 0 for none chosen
	Sep   string // between fields; "" finds it: one of ; tab , | or spaces
	Key   string // label before the number, or key in a JSON object ("pot.temp" for nested ones); wins over Field
	Comma bool   // the comma is a decimal comma even where it could be a separator

	Sensor Sensor  // what the number measures, if it is no temperature yet
	Cold   Celsius // of a thermocouple's cold junction
}

// Parse returns the temperature in line, or why there is none. [FaultEmpty]
// means that the line is not about this temperature at all (a greeting, a
// blank field); every other fault is the probe's, or the cable's. The
// temperature means something only with [FaultNone] and [FaultImpossible].
func (f Format) Parse(line string) (Celsius, Fault) {
	text, ok := clean(line)
	switch {
	case !ok:
		return 0, FaultGarbled
	case text == "":
		return 0, FaultEmpty
	}
	if text[0] == '{' || text[0] == '[' {
		if all, ok := leaves(text); ok {
			return f.object(all)
		}
		if text[0] == '{' {
			return 0, FaultGarbled // an object cut short, or broken on its way
		}
	}
	switch {
	case f.Key != "":
		return f.labelled(text)
	case f.Field > 0:
		return f.field(text)
	}
	return f.auto(scan(text, f.Comma))
}

// Describe says in a cook's words which number of a line f takes.
func (f Format) Describe() string {
	var what string
	switch {
	case f.Key != "":
		what = "the number at \"" + Printable(f.Key) + "\""
	case f.Field > 0:
		what = ordinal(f.Field) + " field"
		if name := sepName(f.Sep); name != "" {
			what += " (fields are separated by " + name + ")"
		}
	default:
		what = "the one temperature in the line"
	}
	if f.Comma {
		what += ", with a decimal comma"
	}
	return what + ", " + f.Unit.String() + " where the line names no unit"
}

func ordinal(n int) string {
	words := []string{"", "the first", "the second", "the third", "the fourth", "the fifth", "the sixth", "the seventh", "the eighth"}
	if n < len(words) {
		return words[n]
	}
	return "number " + strconv.Itoa(n)
}

func sepName(sep string) string {
	switch {
	case sep == "":
		return ""
	case sep == "\t":
		return "tabs"
	case strings.TrimSpace(sep) == "":
		return "spaces"
	case sep == ",":
		return "commas"
	case sep == ";":
		return "semicolons"
	}
	return "\"" + Printable(sep) + "\""
}
