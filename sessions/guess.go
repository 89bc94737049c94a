package sessions

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"boildown/probe"
)

// guessRows is how many rows a guess looks at.
const guessRows = 200

// GuessColumns finds out how to read a table, keeps what is set in want, and
// says in Why what it took and for what reason.
func GuessColumns(file []byte, want Columns) (Columns, error) {
	c := want
	c.Why = nil
	if c.Separator == 0 {
		c.Separator = guessSeparator(file)
	}
	c.why("fields are separated by %q", c.Separator)
	c.Comma = c.Comma || c.Separator != ',' && bytes.Count(file[:min(len(file), 64<<10)], []byte(",")) > 0 && decimalCommas(file)
	var header []string
	if c.Skip == 0 {
		c.Skip, header = c.findHeader(file)
	}
	var rows [][]string
	for fields := range c.rows(file, guessRows) {
		rows = append(rows, append([]string(nil), fields...))
	}
	if len(rows) == 0 {
		return c, errors.New("the table has no row with a number in it")
	}
	c.guessTime(header, rows)
	c.guessTemp(header, rows)
	if c.Time == 0 || c.Temp == 0 || c.Time == c.Temp {
		return c, errors.New("no two columns of the table look like time and temperature: name them, as with --columns 1,2")
	}
	if c.Mark == 0 {
		for i, h := range header {
			if strings.EqualFold(strings.TrimSpace(h), "mark") {
				c.Mark = i + 1
			}
		}
	}
	return c, nil
}

func (c *Columns) why(format string, args ...any) {
	c.Why = append(c.Why, fmt.Sprintf(format, args...))
}

// guessSeparator takes the one that splits most of the first lines, and all
// of those into equally many fields.
func guessSeparator(file []byte) rune {
	best, bestScore := ',', 0
	for _, sep := range []rune{'\t', ';', ',', '|'} {
		counts := map[int]int{}
		for i, line := range bytes.SplitN(file[:min(len(file), 64<<10)], []byte{'\n'}, 52) {
			if n := bytes.Count(line, []byte(string(sep))); n > 0 && i < 51 {
				counts[n]++
			}
		}
		for _, lines := range counts {
			if lines > bestScore {
				best, bestScore = sep, lines
			}
		}
	}
	return best
}

var commaNumber = regexp.MustCompile(`[0-9],[0-9]`)

func decimalCommas(file []byte) bool {
	return commaNumber.Match(file[:min(len(file), 64<<10)])
}

// findHeader returns how many lines stand before the first row of values, and
// the cells of the last of them.
func (c Columns) findHeader(file []byte) (skip int, header []string) {
	whole := c
	whole.Skip = 0
	for _, line := range bytes.SplitN(file[:min(len(file), 256<<10)], []byte{'\n'}, 100) {
		one := whole
		for fields := range one.rows(line, 1) {
			if values(fields, c.Comma) {
				return skip, header
			}
			header = append([]string(nil), fields...)
		}
		skip++
	}
	return 0, nil
}

// values reports whether at least two cells, or a time and nothing else, are
// numbers or times.
func values(fields []string, comma bool) bool {
	n := 0
	for _, f := range fields {
		if _, _, ok := number(strings.TrimSpace(f), comma); ok {
			n++
		} else if _, _, _, ok := moment(strings.TrimSpace(f)); ok {
			n++
		}
	}
	return n >= 2
}

var timeName = regexp.MustCompile(`(?i)^\W*(time|t\b|s\b|sec|elapsed|min\b|minute|ms\b|milli|date|clock|zeit|duration)`)
var tempName = regexp.MustCompile(`(?i)temp|celsius|fahrenheit|°|probe|\bdeg|^\W*[cf]\W*$|[_ (][cf]\)?$`)

func (c *Columns) guessTime(header []string, rows [][]string) {
	if c.Time == 0 {
		for i, h := range header {
			if timeName.MatchString(h) && c.timeUnit(i, h, rows) != "" {
				c.Time = i + 1
				c.why("column %d is the time, by its name %q", c.Time, clean(h, 40))
				break
			}
		}
	}
	for i := 0; c.Time == 0 && i < len(rows[0]); i++ {
		if i+1 != c.Temp && c.rises(i, rows) {
			c.Time = i + 1
			c.why("column %d is the time, since it never falls", c.Time)
		}
	}
	if c.Time == 0 {
		return
	}
	name := cell(header, c.Time-1)
	if c.TimeUnit == "" {
		c.TimeUnit = c.timeUnit(c.Time-1, name, rows)
		c.why("times are read as %s", timeUnitWords[c.TimeUnit])
	}
}

var timeUnitWords = map[string]string{
	"s": "seconds", "ms": "milliseconds", "min": "minutes", "clock": "h:mm:ss", "date": "date and time",
	"epoch": "seconds since 1970", "epoch-ms": "milliseconds since 1970", "": "nothing known",
}

func cell(fields []string, i int) string {
	if i < 0 || i >= len(fields) {
		return ""
	}
	return strings.TrimSpace(fields[i])
}

// timeUnit looks at a column's first value, its name and its steps.
func (c Columns) timeUnit(i int, name string, rows [][]string) string {
	first := cell(rows[0], i)
	v, _, isNumber := number(first, c.Comma)
	if !isNumber {
		_, _, unit, ok := moment(first)
		if !ok {
			return ""
		}
		return unit
	}
	name = strings.ToLower(name)
	switch {
	case v > 1e11:
		return "epoch-ms"
	case v > 5e8:
		return "epoch"
	case regexp.MustCompile(`\bms\b|milli|[_(]ms`).MatchString(name):
		return "ms"
	case strings.Contains(name, "min"):
		return "min"
	case strings.Contains(name, "sec") || regexp.MustCompile(`[( _]s\)?$`).MatchString(name):
		return "s"
	}
	if step := c.step(i, rows); step >= 90 {
		return "ms"
	}
	return "s"
}

// step is the mean step of a column of numbers.
func (c Columns) step(i int, rows [][]string) float64 {
	a, _, ok1 := number(cell(rows[0], i), c.Comma)
	b, _, ok2 := number(cell(rows[len(rows)-1], i), c.Comma)
	if !ok1 || !ok2 || len(rows) < 2 {
		return 0
	}
	return (b - a) / float64(len(rows)-1)
}

// rises reports whether a column is a time by its values: it never falls, or
// only at midnight, and gets somewhere.
func (c Columns) rises(i int, rows [][]string) bool {
	last, begin := math.Inf(-1), math.NaN()
	probeCols := c
	probeCols.Time = i + 1
	probeCols.TimeUnit = c.timeUnit(i, "", rows)
	for _, r := range rows {
		v, _, ok := probeCols.time(r)
		if !ok || v < last {
			return false
		}
		if last = v; math.IsNaN(begin) {
			begin = v
		}
	}
	return len(rows) == 1 || last > begin
}

func (c *Columns) guessTemp(header []string, rows [][]string) {
	if c.Temp == 0 {
		for i, h := range header {
			if i+1 != c.Time && tempName.MatchString(strings.TrimSpace(h)) && c.plausible(i, rows) {
				c.Temp = i + 1
				c.why("column %d is the temperature, by its name %q", c.Temp, clean(h, 40))
				break
			}
		}
	}
	for i := 0; c.Temp == 0 && i < len(rows[0]); i++ {
		if i+1 != c.Time && c.plausible(i, rows) {
			c.Temp = i + 1
			c.why("column %d is the temperature, since its numbers could be one", c.Temp)
		}
	}
	if c.Temp > 0 && !c.HasUnit {
		c.guessUnit(cell(header, c.Temp-1), rows)
	}
}

// plausible reports whether most of a column's cells are numbers that a pot
// could have, in °C or °F.
func (c Columns) plausible(i int, rows [][]string) bool {
	n := 0
	for _, r := range rows {
		if v, _, ok := number(cell(r, i), c.Comma); ok && v > -60 && v < 700 {
			n++
		}
	}
	return 2*n > len(rows)
}

var fahrenheitName = regexp.MustCompile(`(?i)fahrenheit|°\s*f|[_ (\[]f[)\]]?$|^\W*f\W*$|degf`)
var celsiusName = regexp.MustCompile(`(?i)celsius|°\s*c|[_ (\[]c[)\]]?$|^\W*c\W*$|degc`)

// guessUnit goes by the column's name, then by letters beside the numbers,
// then by how hot it gets: sugar burns before 215 °C, and no pot of it stays
// under 215 °F.
func (c *Columns) guessUnit(name string, rows [][]string) {
	c.HasUnit = true
	hottest := math.Inf(-1)
	for _, r := range rows {
		v, letter, ok := number(cell(r, c.Temp-1), c.Comma)
		if ok {
			hottest = max(hottest, v)
		}
		switch letter {
		case 'F':
			c.Unit = probe.UnitF
			c.why("temperatures are °F, by the letter beside them")
			return
		case 'C':
			c.why("temperatures are °C, by the letter beside them")
			return
		}
	}
	switch {
	case fahrenheitName.MatchString(name):
		c.Unit = probe.UnitF
		c.why("temperatures are °F, by the column's name")
	case celsiusName.MatchString(name):
		c.why("temperatures are °C, by the column's name")
	case hottest > 215:
		c.Unit = probe.UnitF
		c.why("temperatures are °F by guess: %.0f is more than sugar survives in °C", hottest)
	default:
		c.why("temperatures are °C by guess: the first rows reach only %.0f; say the unit if that is wrong", hottest)
	}
}
