package sessions

import (
	"slices"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// course is what happened in a batch, gathered in one fold, for the review,
// the comparison and the report.
type course struct {
	session *Session
	target  probe.Celsius // at the pull, or at the end
	points  []point       // one for each reading and silence
	marks   []told        // what the cook told, without what was undone
	prompts []Moment      // today's

	// The times of the turns, noTime where there was none.
	melt, cream, creamEnd, stall, climb, pull, dip, done time.Duration

	peak   probe.Celsius // hottest from the stall on; 0 when there was none
	peakAt time.Duration
	end    time.Duration

	lastRun time.Duration   // when the pot went back on the heat, 0 when it never did
	runs    []time.Duration // every time that it did
	lifts   []probe.Celsius // the peaks of the times on the heat before the last
}

// point is one reading as the fold saw it.
type point struct {
	at       time.Duration
	c        probe.Celsius // corrected; meaningless unless ok
	ok       bool          // used by the fold
	fault    probe.Fault
	now      probe.Celsius // filtered; 0 before the first usable reading
	slope    float64       // °C/min
	phase    plateau.Phase
	forecast plateau.Forecast
	target   probe.Celsius
}

// told is a mark at the time that it speaks of.
type told struct {
	at   time.Duration
	mark plateau.Mark
	text string
}

const noTime time.Duration = -1

// courseOf folds s.
func courseOf(s *Session) *course {
	c := &course{session: s, melt: noTime, cream: noTime, creamEnd: noTime, stall: noTime,
		climb: noTime, pull: noTime, dip: noTime, done: noTime, target: s.Header.Config.Target}
	i := -1
	for in, a := range plateau.Fold(plateau.Start(s.Header.Config), s.Inputs()) {
		i++
		c.see(in, a)
		for p := range a.Began.All {
			c.prompts = append(c.prompts, Moment{Input: i, At: in.At, IsPrompt: true, Prompt: p, Text: p.Text(a, s.Header.Unit)})
		}
	}
	c.marked()
	c.findPeak()
	return c
}

func (c *course) see(in plateau.Input, a plateau.Advice) {
	c.end = max(c.end, in.At)
	switch in.Kind {
	case plateau.Marked:
		c.marks = append(c.marks, told{max(in.At-in.Ago, 0), in.Mark, in.Text})
	case plateau.Undone:
		if n := len(c.marks); n > 0 {
			c.marks = c.marks[:n-1]
		}
	}
	c.turn(in, a.Phase)
	if a.Phase < plateau.Pulled {
		c.target = a.Target
	}
	if in.Kind != plateau.Measured && in.Kind != plateau.Silent && in.Kind != plateau.Resumed {
		return
	}
	p := point{at: in.At, phase: a.Phase, fault: a.Fault, slope: a.Slope, forecast: a.Forecast, target: a.Target}
	if a.HasNow {
		p.now = a.Now
	}
	if in.Kind == plateau.Measured && a.HasC {
		p.c, p.ok = a.C, a.Fault == probe.FaultNone
	}
	c.points = append(c.points, p)
}

// turn notes when the fold's phases change. A pot that goes back on the heat
// is judged by its last run; one whose pull is taken back never left it.
func (c *course) turn(in plateau.Input, p plateau.Phase) {
	first := func(t *time.Duration) {
		if *t == noTime {
			*t = in.At
		}
	}
	switch p {
	case plateau.Melt:
		first(&c.melt)
	case plateau.Cream:
		first(&c.cream)
		c.stall, c.climb = noTime, noTime
	case plateau.Stall:
		first(&c.stall)
	case plateau.Climb:
		first(&c.climb)
	case plateau.Pulled:
		first(&c.pull)
	case plateau.Dip:
		first(&c.dip)
	case plateau.Done:
		first(&c.done)
	}
	if p < plateau.Pulled && c.pull != noTime {
		c.pull, c.dip, c.done = noTime, noTime, noTime
		if in.Kind == plateau.Undone {
			return
		}
		c.lastRun = in.At
		if len(c.runs) < mostLifts {
			c.runs = append(c.runs, in.At)
		}
	}
}

// marked lets the cook's own marks decide over what the fold saw.
func (c *course) marked() {
	for _, m := range c.marks {
		switch m.mark {
		case plateau.MarkMeltStart:
			c.melt = m.at
		case plateau.MarkCreamStart:
			if c.cream == noTime || c.creamEnd == noTime {
				c.cream = m.at
			}
		case plateau.MarkCreamEnd:
			c.creamEnd = m.at
		case plateau.MarkPull:
			c.pull = m.at
		case plateau.MarkDip:
			c.dip = m.at
		}
	}
}

// peakHold is the window of the median that finds the peak: lifting the pot
// jolts the probe, and a temperature that stood for a second cooked nothing.
const peakHold = 6 * time.Second

// findPeak takes the hottest running median since the pot went on the heat for
// the last time, from the stall to the dip.
func (c *course) findPeak() {
	if c.stall != noTime {
		c.peak, c.peakAt = c.hottest(max(c.stall, c.lastRun), c.end+1)
		from := c.stall
		for _, back := range c.runs {
			if peak, _ := c.hottest(from, back); peak != 0 && from < back {
				c.lifts = append(c.lifts, peak)
			}
			from = max(from, back)
		}
	}
}

// hottest returns the highest running median with from ≤ its window < to, up
// to the dip, and when it was; 0 when there is none.
func (c *course) hottest(from, to time.Duration) (peak probe.Celsius, at time.Duration) {
	var window []point
	var sorted []probe.Celsius
	for p := range c.between(from, to) {
		if p.phase >= plateau.Dip {
			break
		}
		if !p.ok || p.now == 0 {
			continue
		}
		window = append(window, p)
		for p.at-window[0].at > peakHold {
			window = window[1:]
		}
		sorted = sorted[:0]
		for _, w := range window {
			sorted = append(sorted, w.now)
		}
		slices.Sort(sorted)
		if m := sorted[len(sorted)/2]; m > peak {
			peak, at = m, window[len(window)/2].at
		}
	}
	return peak, at
}

// markAt returns when the last mark of a kind was given, noTime for none.
func (c *course) markAt(m plateau.Mark) time.Duration {
	at := noTime
	for _, t := range c.marks {
		if t.mark == m {
			at = t.at
		}
	}
	return at
}

// promptAt returns when a prompt began for the first time at or after from.
func (c *course) promptAt(p plateau.Prompt, from time.Duration) time.Duration {
	for _, m := range c.prompts {
		if m.Prompt == p && m.At >= from {
			return m.At
		}
	}
	return noTime
}

// between yields the points with from ≤ at < to.
func (c *course) between(from, to time.Duration) func(yield func(point) bool) {
	return func(yield func(point) bool) {
		if from == noTime {
			return
		}
		for _, p := range c.points {
			if p.at >= from && p.at < to && !yield(p) {
				return
			}
		}
	}
}

// until returns t, or the end of the batch for noTime.
func (c *course) until(t time.Duration) time.Duration {
	if t == noTime {
		return c.end + 1
	}
	return t
}

// at returns the filtered temperature at a time, and whether there is one.
func (c *course) at(t time.Duration) (probe.Celsius, bool) {
	var now probe.Celsius
	ok := false
	for _, p := range c.points {
		if p.at > t {
			break
		}
		if p.now != 0 {
			now, ok = p.now, true
		}
	}
	return now, ok
}
