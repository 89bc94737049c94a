package pot

import (
	"testing"
	"time"

	"boildown/syrup"
)

// The corpus is only as good as its spread: each range is reached to within a
// tenth of its ends, and each kind of cook and trouble occurs.
func TestCorpusCoversItsRanges(t *testing.T) {
	const n = 3000
	type span struct{ lo, hi float64 }
	seen := map[string]*span{}
	note := func(name string, v float64) {
		s := seen[name]
		if s == nil {
			s = &span{v, v}
			seen[name] = s
		}
		s.lo, s.hi = min(s.lo, v), max(s.hi, v)
	}
	count := map[string]int{}
	tally := func(name string, is bool) {
		if is {
			count[name]++
		}
	}
	for i := range n {
		h := HardCook(1, i)
		c := h.Config
		count[h.Kind.String()]++
		note("offset K", float64(c.Probe.Offset))
		note("noise K", c.Probe.Noise)
		note("readings/s", 1/c.Probe.Every.Seconds())
		note("lag s", c.Probe.Lag.Seconds())
		note("net W", h.netWatts())
		note("altitude m", syrup.Altitude(c.PressurePa))
		tally("calibrated", h.Calibrated())
		tally("cycling", c.Cycle > 0)
		tally("pressure not told", h.Told.PressurePa == 0)
		tally("marked", h.Told.Marks)
		tally("1 °F", c.Probe.Step == 1 && c.Probe.Unit == 1)
		tally("other curve", c.Curve != syrup.StarzakPeacock)
		tally("three turns", len(h.Turns) == 3)
		for _, turn := range h.Turns {
			tally("lid", turn.Lid > 0)
			if turn.Level < 0 || turn.Level > 1 {
				t.Errorf("cook %d: level %v", i, turn.Level)
			}
		}
		if h.Kind == Whole {
			note("sugar g", c.Melt.Solutes)
			note("dairy to sugar", (c.Cream.Mass())/c.Melt.Mass())
			tally("inverted", c.Inverted > 0)
		}
	}
	for name, want := range map[string]span{
		"offset K": {-1.5, 1.5}, "noise K": {0.02, 0.4}, "readings/s": {0.5, 10}, "lag s": {1, 10},
		"net W": {250, 1800}, "altitude m": {-170, 2670}, "sugar g": {100, 3000},
	} {
		got := seen[name]
		slack := (want.hi - want.lo) / 10
		if got.lo > want.lo+slack || got.hi < want.hi-slack || got.lo < want.lo-0.02*(want.hi-want.lo) || got.hi > want.hi+0.02*(want.hi-want.lo) {
			t.Errorf("%s runs from %.3g to %.3g, want %v", name, got.lo, got.hi, want)
		}
	}
	for name, least := range map[string]int{
		"whole": 1800, "late-start": 150, "water": 40, "dry-sugar": 40, "off-heat": 40, "below": 40, "endless": 40,
		"calibrated": 600, "cycling": 600, "pressure not told": 300, "marked": 1200, "1 °F": 200,
		"other curve": 500, "three turns": 200, "lid": 100, "inverted": 300,
	} {
		if count[name] < least {
			t.Errorf("%d cooks of %d are %q, want %d at least", count[name], n, name, least)
		}
	}
}

func TestHardCookIsTheSameEachTime(t *testing.T) {
	for _, n := range []int{0, 7, 191} {
		a, b := HardCook(3, n), HardCook(3, n)
		p, q := New(a.Config), New(b.Config)
		p.Told("melt-start")
		q.Told("melt-start")
		p.Advance(3 * time.Minute)
		q.Advance(3 * time.Minute)
		if p.Read() != q.Read() || a.Target != b.Target || len(a.Turns) != len(b.Turns) {
			t.Errorf("cook %d differs from itself", n)
		}
		if c := HardCook(4, n); c.Target == a.Target {
			t.Errorf("cook %d is the same under another seed", n)
		}
	}
}

func TestPullCooksAreThoseTheBarIsFor(t *testing.T) {
	for n := range 50 {
		h := PullCook(1, n)
		if h.Coarse() || !h.Kind.Arrives() || !h.Told.CarryOver || h.Told.Lag != h.Config.Probe.Lag {
			t.Errorf("pull cook %d: %+v", n, h)
		}
	}
}
