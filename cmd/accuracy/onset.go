package main

import (
	"math"
	"slices"

	"boildown/probe/pot"
)

// onsetLimit is the moment at which a probe can first have told that the whole
// pot boils, s after it does; infinite when it cannot within the rows.
//
// It is told what no program can know: the pot's course up to the boil and
// after it, the probe's lag, noise and steps, which readings are mishaps, and
// the moment the question is put. Only the pot's level is hidden from it, by
// two steps or standard deviations to each side, and its climb, by a half of
// itself: that much no kitchen tells. It has to choose between the pot's own
// course and the one on which it climbs on as it did in the 20 s before, by the
// likelihood of the last minute's readings summed over both, and chooses at odds
// of 19 to 1, so that it is wrong once in twenty, as the program may be. A
// program that must find the boil and its moment out has more to doubt, so this
// is a bound on it, up to the luck of a cook. A pot that boils as its last cream
// goes in has no climb before it: there the other course is a simmer at a
// quarter of what the hob would do to it.
func onsetLimit(o outcome) float64 {
	if math.IsNaN(o.boils) {
		return math.Inf(1)
	}
	p := o.h.Config.Probe
	climb := max(climbBefore(o), leastClimb*fullClimb(o.h))
	own, other := lagged(o.rows, p.Lag.Seconds()), onward(o, climb)
	step := stepK(o.h)
	sigma := math.Sqrt(p.Noise*p.Noise + 1e-4)
	independent := 1 / (2.0/3 + 1.0/3*alike(p.Every.Seconds()))
	from := max(o.boils-60, o.creamEnd+2*p.Lag.Seconds())
	if !(from < o.boils) {
		from = o.boils
	}
	h := hidden{levels: 2 * max(sigma, step), climbs: climb / 2}
	bad := math.Inf(-1)
	for i, r := range o.rows {
		if r.at < from {
			continue
		}
		if !r.ok || math.Abs(r.c-own[i]) > 4*sigma+step/2+0.05 {
			bad = r.at
		}
		if r.at < bad+3 {
			continue
		}
		t := r.at - o.boils
		h.see(independent, func(level, climb float64) (boils, warms float64) {
			w := likely(r.c, other[i]+level+climb*t, sigma, step)
			if t <= 0 {
				return w, w
			}
			return likely(r.c, own[i]+level, sigma, step), w
		})
		if t > 0 && h.odds() >= math.Log(19) {
			return t
		}
	}
	return math.Inf(1)
}

// hidden is what the limit does not know, on a grid: the likelihoods of either
// course for each level and climb.
type hidden struct {
	levels, climbs float64 // K, K/s, to both sides
	boils, warms   [hiddenN * hiddenN]float64
}

const hiddenN = 15

// see takes a reading that is worth so much of an independent one.
func (h *hidden) see(worth float64, like func(level, climb float64) (boils, warms float64)) {
	for i := range h.boils {
		at := func(n int) float64 { return 2*float64(n)/(hiddenN-1) - 1 }
		b, w := like(at(i/hiddenN)*h.levels, at(i%hiddenN)*h.climbs)
		h.boils[i] += worth * b
		h.warms[i] += worth * w
	}
}

// odds is the logarithm of the odds that the pot boils.
func (h *hidden) odds() float64 { return logSum(h.boils[:]) - logSum(h.warms[:]) }

// logSum is the logarithm of the sum of what has these logarithms.
func logSum(l []float64) float64 {
	top, sum := slices.Max(l), 0.0
	for _, v := range l {
		sum += math.Exp(v - top)
	}
	return top + math.Log(sum)
}

// alike is how many readings one is worth, so many seconds apart, where
// bubbles last for a second and a half.
func alike(every float64) float64 {
	rho := math.Exp(-every / 1.5)
	return (1 + rho) / (1 - rho)
}

// onward is what the probe would show if the pot climbed on instead of boiling.
func onward(o outcome, slope float64) []float64 {
	rows := make([]row, len(o.rows))
	copy(rows, o.rows)
	at := nan
	for i := range rows {
		if rows[i].at < o.boils {
			continue
		}
		if math.IsNaN(at) {
			at = rows[i].trueC - slope*(rows[i].at-o.boils)
		}
		rows[i].trueC = at + slope*(rows[i].at-o.boils)
	}
	return lagged(rows, o.h.Config.Probe.Lag.Seconds())
}

// leastClimb is the share of its full climb below which a pot would be said to
// stand still, boil or not.
const leastClimb = 0.25

// climbBefore is the pot's mean climb over the 20 s before it boils, from the
// last cream on, K/s.
func climbBefore(o outcome) float64 {
	first, last := row{at: nan}, row{at: nan}
	for _, r := range o.rows {
		if r.at > o.boils {
			break
		}
		if r.at >= o.boils-20 && !(r.at < o.creamEnd-2) {
			if math.IsNaN(first.at) {
				first = r
			}
			last = r
		}
	}
	if !(last.at > first.at+3) {
		return 0
	}
	return (last.trueC - first.trueC) / (last.at - first.at)
}

// fullClimb is how fast the whole batch would climb near its boil if nothing
// simmered off, K/s.
func fullClimb(h pot.Hard) float64 {
	c := h.Config
	watts := c.Watts*c.Level - c.LossWK*(105-c.Room)
	return max(watts, 0) / (c.Melt.Add(c.Cream).HeatCapacity(100) + c.PotJK)
}

// likely is the logarithm of how likely a probe that ought to show want shows
// c, which it has rounded to a step.
func likely(c, want, sigma, step float64) float64 {
	if step < 0.5*sigma {
		z := (c - want) / sigma
		return -z * z / 2
	}
	hi, lo := (c+step/2-want)/sigma, (c-step/2-want)/sigma
	if lo > 0 { // the tail that does not cancel
		hi, lo = -lo, -hi
	}
	return math.Log(max((math.Erfc(-hi/math.Sqrt2)-math.Erfc(-lo/math.Sqrt2))/2, 1e-12))
}
