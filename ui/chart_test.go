package ui

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// A reading at the target is drawn on the target's row, and each label stands
// on the row where the chart library draws its value: at every scale that can
// be chosen.
func TestLabelsAndLinesAgree(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 2000 {
		target := 90 + rng.Float64()*280
		lo := target - rng.Float64()*200
		hi := target + rng.Float64()*20
		rows := 3 + rng.IntN(40)
		s := fit(lo, hi, target, rows)
		if s.row(target) < 0 || s.row(target) >= rows || s.row(lo) >= rows || s.row(hi) < 0 {
			t.Fatalf("fit(%v, %v, %v, %d) = %+v leaves something out", lo, hi, target, rows, s)
		}
		row := rng.IntN(rows)
		for _, v := range []float64{target, s.value(row)} {
			want := s.row(v)
			cells := plotLines(s, 20, nothing(21), nothing(21), flat(s.clip(v), 21))
			if len(cells) != rows {
				t.Fatalf("%d rows, want %d", len(cells), rows)
			}
			for r := range cells {
				if drawn := cells[r][10].r == '─'; drawn != (r == want) {
					t.Fatalf("%+v: %v is drawn on row %d, its label stands on %d", s, v, r, want)
				}
			}
		}
		if got := s.row(s.value(row)); got != row {
			t.Fatalf("%+v: the value of row %d lies on row %d", s, row, got)
		}
	}
}

// The library widens its bounds to what it is given, so nothing outside may
// be given.
func TestOutsideIsClipped(t *testing.T) {
	s := fit(210, 240, 235, 12)
	wild := []float64{s.clip(-1e9), s.clip(1e9), s.clip(235), s.clip(math.NaN()), s.clip(235)}
	if cells := plotLines(s, 4, nothing(5), nothing(5), wild); len(cells) != 12 {
		t.Errorf("%d rows, want 12", len(cells))
	}
}

// On the screen: the row that says the target's degrees holds the target line.
func TestTargetLineStandsBesideItsLabel(t *testing.T) {
	for _, size := range sizes[:2] {
		for _, u := range []probe.Unit{probe.UnitC, probe.UnitF} {
			m, _, _ := fakeLive(20, NoStyle)
			m.unit = u
			label := degreeLabel(u.Of(fakeTarget), 1)
			for _, line := range strings.Split(Frame(m, size[0], size[1]), "\n") {
				if at := strings.Index(line, "◀ target"); at >= 0 {
					if !strings.Contains(line[:at], label+" ┤") || !strings.Contains(line[:at], "╌╌") {
						t.Errorf("%v: %q", u, line)
					}
				}
			}
		}
	}
}

// The forecast's line begins where the pot is, ends on the target when the
// forecast says so, and never falls; its fan lies round it.
func TestForecastPath(t *testing.T) {
	for _, by := range []plateau.Method{plateau.ByStallLine, plateau.BySlope} {
		f := plateau.Forecast{ETA: 8 * time.Minute, Low: 6 * time.Minute, High: 11 * time.Minute, By: by}
		p := newPath(104.5, 112.8, 0, f)
		if got := p.at(0, p.eta); math.Abs(got-104.5) > 0.01 {
			t.Errorf("%v begins at %v", by, got)
		}
		if got := p.at(f.ETA, p.eta); math.Abs(got-112.8) > 0.01 {
			t.Errorf("%v ends at %v", by, got)
		}
		last := 0.0
		for at := time.Duration(0); at <= f.ETA; at += 10 * time.Second {
			c := p.at(at, p.eta)
			lo, hi := p.fan(at)
			if c < last || !(lo <= c+1e-9) || !(hi >= c-1e-9) {
				t.Fatalf("%v at %v: %v between %v and %v, before it %v", by, at, c, lo, hi, last)
			}
			last = c
		}
		// The stall's line bends: half the time is far less than half the way.
		mid := (p.at(f.ETA/2, p.eta) - 104.5) / (112.8 - 104.5)
		if bent := mid < 0.45; bent != (by == plateau.ByStallLine) {
			t.Errorf("%v is at %.2f of the way after half the time", by, mid)
		}
	}
}

// The close view shows the stall and the target on separate rows with the
// stall's own movement visible, which the whole view cannot.
func TestCloseViewShowsTheStall(t *testing.T) {
	m, _, _ := fakeLive(18, NoStyle)
	for _, height := range []int{8, 14, 20} {
		ch := newChart(m.hist, m.feed.Snapshot().Advice, m.cfg.Fold, probe.UnitF, minutes(18))
		ch.close = true
		from, to := ch.window()
		lo, hi := ch.degrees(ch.hist.columns(from, to, ch.now, 60))
		s := fit(lo, hi, probe.UnitF.Of(fakeTarget), height)
		if s.step > 4 {
			t.Errorf("%d rows: a row is %v °F", height, s.step)
		}
		if a, b := s.row(probe.UnitF.Of(104)), s.row(probe.UnitF.Of(fakeTarget)); a-b < 4 {
			t.Errorf("%d rows: stall on row %d, target on %d", height, a, b)
		}
	}
}
