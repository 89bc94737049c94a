package sessions

import (
	"fmt"
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// measure is one figure by which batches can be compared. usual is a
// difference that is worth a look, a choice of this program, so that degrees
// and minutes can be ranked in one list.
type measure struct {
	name  string
	usual float64
	get   func(c *course) (v float64, ok bool) // °C, K, s, °C/min, Pa or a share
	write func(v float64, u probe.Unit) string
	diff  func(d float64, u probe.Unit) string // a difference
}

func writeTemp(v float64, u probe.Unit) string { return u.Temp(probe.Celsius(v), 1) }
func writeDiff(v float64, u probe.Unit) string { return u.Diff(probe.Delta(v), 1) }
func writeSlope(v float64, u probe.Unit) string {
	return u.Diff(probe.Delta(v), 1) + "/min"
}
func writeClock(v float64, _ probe.Unit) string {
	d := time.Duration(v * float64(time.Second))
	if d < 0 {
		return "−" + clock(-d)
	}
	return clock(d)
}
func writeShare(v float64, _ probe.Unit) string    { return fmt.Sprintf("%.0f %%", 100*v) }
func writePressure(v float64, _ probe.Unit) string { return fmt.Sprintf("%.1f kPa", v/1e3) }

// measures in the order of a cook.
var measures = []measure{
	{"melt", 120, secondsBetween((*course).meltAt, (*course).creamAt), writeClock, writeClock},
	{"hottest in the melt", 5, (*course).meltPeak, writeTemp, writeDiff},
	{"cream going in", 60, secondsBetween((*course).creamAt, (*course).creamEndAt), writeClock, writeClock},
	{"coldest in the cream", 4, (*course).creamLow, writeTemp, writeDiff},
	{"stall", 60, secondsBetween((*course).stallAt, (*course).climbAt), writeClock, writeClock},
	{"last cream to the pull", 120, secondsBetween((*course).creamEndAt, (*course).pullAt), writeClock, writeClock},
	{"heat turned down at", 1.5, (*course).downC, writeTemp, writeDiff},
	{"climb", 45, secondsBetween((*course).climbAt, (*course).pullAt), writeClock, writeClock},
	{"slope at the pull", 1, (*course).pullSlope, writeSlope, writeSlope},
	{"pull after its prompt", 4, (*course).pullDelay, writeClock, writeClock},
	{"target", 0.5, func(c *course) (float64, bool) { return float64(c.target), c.target != 0 }, writeTemp, writeDiff},
	{"peak", 0.8, func(c *course) (float64, bool) { return float64(c.peak), c.peak != 0 }, writeTemp, writeDiff},
	{"peak over target", 0.8, func(c *course) (float64, bool) {
		return float64(c.peak - c.target), c.peak != 0 && c.target != 0
	}, writeDiff, writeDiff},
	{"dipping began at", 1.5, (*course).dipC, writeTemp, writeDiff},
	{"pull to dip", 60, secondsBetween((*course).pullAt, (*course).dipAt), writeClock, writeClock},
	{"readings not usable", 0.05, (*course).doubted, writeShare, writeShare},
	{"air pressure", 1500, func(c *course) (float64, bool) {
		p := c.session.Header.Config.Pressure
		return p, p != 0
	}, writePressure, writePressure},
}

func (c *course) meltAt() time.Duration     { return c.melt }
func (c *course) creamAt() time.Duration    { return c.cream }
func (c *course) creamEndAt() time.Duration { return c.creamEnd }
func (c *course) stallAt() time.Duration    { return c.stall }
func (c *course) climbAt() time.Duration    { return c.climb }
func (c *course) pullAt() time.Duration     { return c.pull }
func (c *course) dipAt() time.Duration      { return c.markAt(plateau.MarkDip) }

// secondsBetween measures the seconds from one turn to another.
func secondsBetween(from, to func(*course) time.Duration) func(*course) (float64, bool) {
	return func(c *course) (float64, bool) {
		a, b := from(c), to(c)
		return (b - a).Seconds(), a != noTime && b != noTime && b >= a
	}
}

func (c *course) meltPeak() (float64, bool) {
	if c.melt == noTime {
		return 0, false
	}
	v, _ := c.hottest(c.melt, c.until(c.cream))
	return float64(v), v != 0
}

func (c *course) creamLow() (float64, bool) {
	low := math.Inf(1)
	if c.creamEnd == noTime {
		return 0, false
	}
	for p := range c.between(c.cream, c.creamEnd+30*time.Second) {
		if p.ok {
			low = min(low, float64(p.c))
		}
	}
	return low, !math.IsInf(low, 0)
}

func (c *course) downC() (float64, bool) {
	at := c.markAt(plateau.MarkHeatDown)
	if at == noTime || at < c.stall {
		return 0, false
	}
	v, ok := c.at(at)
	return float64(v), ok
}

func (c *course) pullSlope() (float64, bool) {
	if c.pull == noTime || c.stall == noTime {
		return 0, false
	}
	v := (&review{course: c}).slopeAt(c.pull)
	return v, v != 0
}

func (c *course) pullDelay() (float64, bool) {
	prompted := noTime
	if c.stall != noTime {
		prompted = c.promptAt(plateau.PullNow, c.stall)
	}
	return (c.pull - prompted).Seconds(), c.pull != noTime && prompted != noTime
}

func (c *course) dipC() (float64, bool) {
	at := c.dipAt()
	if at == noTime {
		return 0, false
	}
	v, ok := c.at(at)
	return float64(v), ok
}

func (c *course) doubted() (float64, bool) {
	bad := 0
	for _, p := range c.points {
		if !p.ok {
			bad++
		}
	}
	return float64(bad) / float64(max(len(c.points), 1)), len(c.points) > 0
}
