package probe

import (
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// numeral finds what a person would call a number, whole: an independent and
// far simpler reader than the one under test.
var numeral = regexp.MustCompile(`[+-]?(?:[0-9]+(?:[.,][0-9]+)?|\.[0-9]+)(?:[eE][+-]?[0-9]+)?`)

// FuzzParse holds parsing to its promises: no panic; a reading is finite, in
// range, and one of the numbers that stand in the line; and it is read again
// as the same when it is printed.
func FuzzParse(f *testing.F) {
	files, _ := filepath.Glob("../testdata/lines/*.txt")
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		for line := range strings.Lines(string(b)) {
			f.Add(line, 0, "", false)
			f.Add(line, 2, "", false)
			f.Add(line, 0, "T", true)
		}
	}
	for _, s := range []string{"T=112,4 °C", "112.4 C 234.3 F", "Sensor 1: 112.4 C", "12:00 T=1", "1e3", "nan", "--.-", `["1"]`, `{"t":"2 F"}`, "\x1b]0;1\x07"} {
		f.Add(s, 1, "t", false)
	}
	f.Fuzz(func(t *testing.T, line string, field int, key string, comma bool) {
		format := Format{Field: field % 40, Key: key, Comma: comma}
		if field < 0 {
			format.Field = 0
		}
		for _, format := range []Format{{}, {Unit: UnitF}, format} {
			c, fault := format.Parse(line)
			if fault != FaultNone {
				continue
			}
			if math.IsNaN(float64(c)) || c < Coldest || c > Hottest {
				t.Fatalf("%q with %+v reads as %v", line, format, c)
			}
			if !printedIn(line, c) {
				t.Fatalf("%q with %+v reads as %v, which it does not hold", line, format, c)
			}
			again, fault := Format{}.Parse(strconv.FormatFloat(float64(c), 'f', -1, 64) + " C")
			if fault != FaultNone || again != c {
				t.Fatalf("%v prints and reads as %v, %q", c, again, fault)
			}
		}
		if p := Printable(line); strings.ContainsFunc(p, func(r rune) bool { return !unicode.IsPrint(r) }) || !utf8.ValidString(p) {
			t.Fatalf("%q is not fit for a terminal: %q", line, p)
		}
		Sniff(strings.Split(line, "\n"))
	})
}

// printedIn reports whether the line holds a number that is c °C, or c in °F.
func printedIn(line string, c Celsius) bool {
	if strings.Contains(line, `\u`) {
		return true // JSON may spell its digits otherwise
	}
	text, ok := clean(line)
	if !ok {
		return false
	}
	text = strings.ReplaceAll(text, "−", "-")
	for start := range text {
		// A number may begin anywhere but within another one.
		if start > 0 && strings.ContainsRune("0123456789.", rune(text[start-1])) && text[start] != '-' && text[start] != '+' {
			if text[start-1] != '.' || start > 1 && isDigit(rune(text[start-2])) {
				continue
			}
		}
		n := numeral.FindString(text[start:])
		for _, n := range []string{n, strings.Split(n+",", ",")[0]} {
			v, err := strconv.ParseFloat(strings.Replace(n, ",", ".", 1), 64)
			if err == nil && (math.Abs(v-float64(c)) < 1e-9 || math.Abs(v-c.F()) < 1e-9) {
				return true
			}
		}
	}
	return false
}
