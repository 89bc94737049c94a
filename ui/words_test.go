package ui

import (
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// An interval is rounded outwards: what is shown never claims more than the
// forecast does.
func TestRemaining(t *testing.T) {
	for _, c := range []struct {
		low, eta, high time.Duration
		figures, unit  string
	}{
		{11*time.Minute + 50*time.Second, 14 * time.Minute, 17*time.Minute + 10*time.Second, "11-18", "min"},
		{100 * time.Second, 145 * time.Second, 175 * time.Second, "1.5-3", "min"},
		{41 * time.Second, 55 * time.Second, 71 * time.Second, "40-75", "sec"},
		{0, 0, 0, "0", "sec"},
		{3 * time.Second, 4 * time.Second, 5 * time.Second, "0-5", "sec"},
		{95 * time.Second, 97 * time.Second, 99 * time.Second, "95-100", "sec"},
		{-time.Second, -time.Second, 2 * time.Hour, "0-120", "min"},
		{11 * time.Second, 16 * time.Second, 3*time.Hour - 6*time.Second, "10+", "sec"},
		{20 * time.Minute, 50 * time.Minute, 3 * time.Hour, "20+", "min"},
	} {
		r := remainingOf(plateau.Forecast{Low: c.low, ETA: c.eta, High: c.high, By: plateau.BySlope})
		if r.figures() != c.figures || r.unit != c.unit {
			t.Errorf("%v–%v: %s %s, want %s %s", c.low, c.high, r.figures(), r.unit, c.figures, c.unit)
		}
	}
}

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{clock(65 * time.Second), "1:05"},
		{clock(3665 * time.Second), "1:01:05"},
		{clock(-time.Second), "0:00"},
		{long(99 * time.Second), "99 s"},
		{long(150 * time.Second), "3 min"},
		{long(65 * time.Minute), "1 h 5 min"},
		{temp(fakeTarget, probe.UnitF), "235 °F"},
		{temp(fakeTarget, probe.UnitC), "112.8 °C"},
		{rising(0.01, probe.UnitF), "standing still"},
		{rising(-2, probe.UnitC), "falling 2.0 °C a minute"},
		{rising(1, probe.UnitF), "rising 1.8 °F a minute"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if whole, tenth := digits(-3.25, probe.UnitC); whole != "-3" || tenth != "2" {
		t.Errorf("digits %q %q", whole, tenth)
	}
}

// Every letter that a loud line needs has a glyph of six even rows.
func TestGlyphs(t *testing.T) {
	for r, g := range glyphs {
		rows := strings.Fields(g)
		if len(rows) != glyphHeight {
			t.Errorf("%q has %d rows", r, len(rows))
		}
		for _, row := range rows {
			if len(row) != len(rows[0]) {
				t.Errorf("%q is uneven", r)
			}
		}
	}
	var all []act
	all = append(all, shouts...)
	for _, a := range phaseActs {
		all = append(all, a)
	}
	for _, a := range all {
		for _, r := range a.shout + a.brief {
			if _, ok := glyphs[r]; !ok {
				t.Errorf("%q has no glyph for %q", a.shout, r)
			}
		}
		if largeWidth(a.shout, 1) > 78 {
			t.Errorf("%q is too wide for 80 columns", a.shout)
		}
		s := a.shout
		if a.brief != "" {
			s = a.brief
		}
		if largeWidth(s, 1) > 38 {
			t.Errorf("%q is too wide for 40 columns", s)
		}
	}
}
