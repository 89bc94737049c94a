package sessions

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// batchPlot draws the whole batch.
func batchPlot(id string, sh shape, c *course) *plot {
	lo, hi := c.extent(0, c.end+1)
	p := newPlot(id, sh, c.session.Header.Unit, 0, c.end, lo, hi)
	p.Title = "The whole batch: temperature against time"
	p.furnish(c)
	return p
}

// closePlot draws the boil and the pull close up, where the whole batch shows
// the stall as a flat line. It is nil for a batch that never boiled.
func closePlot(id string, sh shape, c *course) *plot {
	if c.stall == noTime {
		return nil
	}
	from := max(c.stall-time.Minute, 0)
	to := c.end
	if c.pull != noTime {
		to = min(to, c.pull+3*time.Minute)
	}
	lo, hi := c.extent(c.stall, to)
	lo = max(lo, c.target-20)
	p := newPlot(id, sh, c.session.Header.Unit, from, to, lo, max(hi, c.target+1))
	p.Title = "Stall, climb and pull close up"
	p.furnish(c)
	return p
}

// furnish draws what every plot of a batch has.
func (p *plot) furnish(c *course) {
	stallEnd := c.climb
	if stallEnd == noTime {
		stallEnd = c.until(c.pull)
	}
	if c.stall != noTime {
		p.span("stall", "stall", c.stall, min(stallEnd, c.end))
	}
	if c.target != 0 {
		p.level("target", "target "+p.unit.Temp(c.target, 1), c.target)
	}
	for i, m := range c.marks {
		if m.mark != plateau.MarkNote {
			p.moment("mark", strconv.Itoa(i+1), m.at)
		}
	}
	if at := c.promptAt(plateau.PullNow, max(c.stall, 0)); at != noTime {
		p.moment("prompt", "", at)
	}
	p.curve("curve", "", c.track(AlignStart).Points)
}

// extent returns the lowest and highest used reading of a stretch.
func (c *course) extent(from, to time.Duration) (lo, hi probe.Celsius) {
	lo, hi = probe.Celsius(math.Inf(1)), probe.Celsius(math.Inf(-1))
	for p := range c.between(from, to) {
		if p.ok {
			lo, hi = min(lo, p.c), max(hi, p.c)
		}
	}
	if lo > hi {
		lo, hi = 20, 120
	}
	if c.target != 0 {
		lo, hi = min(lo, c.target), max(hi, c.target)
	}
	return lo, hi
}

// comparePlot draws tracks over each other.
func comparePlot(id string, sh shape, c Comparison) *plot {
	p := overlay(id, sh, c, math.MinInt64, math.MaxInt64)
	p.Title = "The batches over each other"
	return p
}

// compareClose draws the boil and the pull of the tracks; nil when none boiled.
func compareClose(id string, sh shape, c Comparison) *plot {
	if c.boilTo <= c.boilFrom {
		return nil
	}
	p := overlay(id, sh, c, c.boilFrom, c.boilTo)
	p.Title = "Stall, climb and pull over each other, close up"
	return p
}

func overlay(id string, sh shape, c Comparison, from, to time.Duration) *plot {
	t0, t1 := time.Duration(math.MaxInt64), time.Duration(math.MinInt64)
	lo, hi := probe.Celsius(math.Inf(1)), probe.Celsius(math.Inf(-1))
	for _, t := range c.Tracks {
		for _, q := range t.Points {
			if q.OK && q.At >= from && q.At <= to {
				t0, t1, lo, hi = min(t0, q.At), max(t1, q.At), min(lo, q.C), max(hi, q.C)
			}
		}
	}
	if lo > hi {
		t0, t1, lo, hi = 0, time.Minute, 20, 120
	}
	p := newPlot(id, sh, c.Unit, t0, t1+(t1-t0)/30, lo, hi)
	p.moment("mark", alignNames[c.Align], 0)
	for i, t := range c.Tracks {
		p.curve(trackClass(i), strconv.Itoa(i+1), t.Points)
	}
	return p
}

// trackClass tells six curves apart by colour and by dashes.
func trackClass(i int) string { return fmt.Sprintf("track track%d", i%6+1) }

var alignNames = map[Align]string{AlignCreamEnd: "last cream", AlignStall: "stall begins", AlignPull: "pull", AlignStart: "start"}
