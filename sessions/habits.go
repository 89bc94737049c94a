package sessions

import (
	"math"
	"slices"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// Habits are what past batches say of a cook and a hob. Each figure is a
// median with the number of batches behind it, 0 for none.
type Habits struct {
	Reaction   time.Duration // from the pull prompt to the pull
	ReactionN  int
	CarryOver  probe.Delta // rise after the pull
	CarryOverN int
	Cooling    time.Duration // time constant of the pot off the heat, towards a room of 22 °C
	CoolingN   int
}

// habitBatches is how many of the latest batches count: hands and hobs change.
const habitBatches = 12

// reactionMost is the longest way from prompt to pull that is a reaction. What
// takes longer was a decision or another errand.
const reactionMost = 15 * time.Second

// HabitsOf learns from sessions, the newest first.
func HabitsOf(all []*Session) Habits {
	var reaction, carry, cooling []float64
	for _, s := range all[:min(len(all), habitBatches)] {
		c := courseOf(s)
		if c.pull == noTime || c.stall == noTime {
			continue
		}
		marked := c.markAt(plateau.MarkPull) != noTime
		if v, ok := c.pullDelay(); ok && marked && v <= reactionMost.Seconds() {
			reaction = append(reaction, v)
		}
		if at, _ := c.hottest(max(c.pull-20*time.Second, 0), c.pull+1); at != 0 && c.peak != 0 && marked {
			carry = append(carry, max(float64(c.peak-at), 0))
		}
		if tau, ok := c.coolingConstant(); ok {
			cooling = append(cooling, tau)
		}
	}
	var h Habits
	h.ReactionN, h.CarryOverN, h.CoolingN = len(reaction), len(carry), len(cooling)
	h.Reaction = fromSeconds(median(reaction))
	h.CarryOver = probe.Delta(median(carry))
	h.Cooling = fromSeconds(median(cooling))
	return h
}

// median of no value is 0.
func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	slices.Sort(v)
	if n := len(v); n%2 == 0 {
		return (v[n/2-1] + v[n/2]) / 2
	}
	return v[len(v)/2]
}

// room is what a pot cools towards where nobody measured the room, °C.
const room = 22

// coolingConstant fits Newton's law of cooling, dT/dt = −(T − room)/τ, from a
// minute after the pull on: ln(T − room) falls along a straight line of slope
// −1/τ. It needs two minutes of readings.
func (c *course) coolingConstant() (tau float64, ok bool) {
	var n, sx, sy, sxx, sxy float64
	var last time.Duration
	from := c.pull + time.Minute
	for p := range c.between(from, c.end+1) {
		if !p.ok || p.c <= room+5 || p.phase < plateau.Pulled {
			continue
		}
		x, y := (p.at - from).Seconds(), math.Log(float64(p.c)-room)
		n, sx, sy, sxx, sxy = n+1, sx+x, sy+y, sxx+x*x, sxy+x*y
		last = p.at
	}
	d := n*sxx - sx*sx
	if n < 20 || last-from < 2*time.Minute || d <= 0 {
		return 0, false
	}
	slope := (n*sxy - sx*sy) / d
	if slope >= 0 {
		return 0, false
	}
	return -1 / slope, true
}
