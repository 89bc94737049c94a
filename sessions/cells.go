package sessions

import (
	"math"
	"strconv"
	"strings"
	"time"
)

// number reads a cell like "104.5", "104,5", "235 °F" or "112.8C".
func number(cell string, comma bool) (v float64, letter byte, ok bool) {
	s := strings.TrimSpace(cell)
	if n := len(s); n > 0 {
		switch s[n-1] {
		case 'C', 'c':
			letter = 'C'
		case 'F', 'f':
			letter = 'F'
		}
		if letter != 0 {
			s = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s[:n-1]), "°"))
		}
	}
	if comma {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0, 0, false
	}
	return v, letter, true
}

var dateLayouts = []string{
	time.RFC3339Nano, "2006-01-02T15:04:05.999999999", "2006-01-02 15:04:05.999999999", "2006/01/02 15:04:05.999999999",
	"2006-01-02 15:04", "02.01.2006 15:04:05.999999999",
}

// moment reads a time that is not a bare number: h:mm:ss, m:ss or a date with
// a time. Dates with slashes and the day or month first are not guessed at.
func moment(cell string) (seconds float64, wall time.Time, unit string, ok bool) {
	cell = strings.TrimSpace(cell)
	for _, layout := range dateLayouts {
		if t, err := time.Parse(layout, cell); err == nil {
			return float64(t.UnixMilli()) / 1e3, t, "date", true
		}
	}
	parts := strings.Split(cell, ":")
	if len(parts) < 2 || len(parts) > 3 {
		return 0, wall, "", false
	}
	for _, p := range parts {
		v, err := strconv.ParseFloat(p, 64)
		if err != nil || !(v >= 0 && v < 1e6) {
			return 0, wall, "", false
		}
		seconds = seconds*60 + v
	}
	return seconds, wall, "clock", true
}

// time reads a row's time in seconds, and the wall clock where it tells that.
func (c Columns) time(fields []string) (seconds float64, wall time.Time, ok bool) {
	text := cell(fields, c.Time-1)
	if c.TimeUnit == "clock" || c.TimeUnit == "date" {
		seconds, wall, _, ok = moment(text)
		return seconds, wall, ok
	}
	v, _, ok := number(text, c.Comma)
	switch c.TimeUnit {
	case "ms":
		v /= 1e3
	case "min":
		v *= 60
	case "epoch":
		wall = time.UnixMilli(int64(v * 1e3))
	case "epoch-ms":
		wall = time.UnixMilli(int64(v))
		v /= 1e3
	}
	return v, wall, ok
}
