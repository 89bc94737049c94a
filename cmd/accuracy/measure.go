package main

import (
	"math"

	"boildown/plateau"
	"boildown/probe/pot"
)

// The forecasts that are compared.
const (
	us = iota
	line30
	line120
	parabola
	limitC
	limitD
	methods
)

// The fixed points of a cook at which forecasts are judged.
const (
	afterMinute = iota // the stall begun 60 s
	halfWay
	left5min
	left2min
	left1min
	left30s
	points
)

// judged is the error of each method at one reading, as a share of the time
// left; nil methods are NaN.
type judged struct {
	err   [methods]float64
	bias  float64 // of the fold's answer, with its sign; NaN without one
	held  bool    // its interval holds the truth
	valid bool
	why   plateau.Why
}

// aged is what was judged so long after a change of heat.
type aged struct {
	judged
	age           float64
	marked, above bool
}

// result is what one cook adds to the tables.
type result struct {
	h       pot.Hard
	arrives bool // it was forecast at the first fixed point

	stallDelay float64 // s, Inf for never; only when the stall lasts long enough to be asked for
	stallAsked bool
	stallFalse bool    // stalled was said where there is none
	stallEarly bool    // stalled was said over 15 s before the whole pot boils
	stallLimit float64 // s, the same delay for a detector that is told all else: see onsetLimit

	due, answered       int // rows that could be forecast
	cannot, pretended   int // rows that could not
	covered, intervals  int
	jumps               int // times the forecast moved by over 30 % of the time left from one reading to the next
	point               [points]judged
	stall               []judged
	changes             []aged
	peakOff             float64 // K over the target; NaN when not pulled
	slope               float64 // K/min at the pull
	prompted            bool
	nearAsked, nearMiss bool
	nearEarly           float64 // s before the earlier of set degrees and 30 s ahead
	nearAhead           float64 // s before the target
}

// grace is how long after the whole pot boils a forecast is due, s.
func grace(h pot.Hard) float64 {
	if h.Kind == pot.LateStart {
		return 90
	}
	return 60
}

// judge holds the methods against the truth at chosen rows.
type judge struct {
	o     outcome
	clean []row // without readings that a simple look throws out
	c, d  *limit
}

func newJudge(o outcome) *judge {
	j := &judge{o: o, clean: append([]row(nil), o.rows...), c: toldAll(o), d: toldLittle(o)}
	for i, good := range steadyRows(o.rows) {
		j.clean[i].ok = good
	}
	return j
}

// at judges row i.
func (j *judge) at(i int) judged {
	r := j.o.rows[i]
	target := float64(j.o.h.Target)
	e := judged{valid: true, why: r.why}
	e.err[us], e.bias = wrong(r.eta, r.left), (r.eta-r.left)/r.left
	e.held = r.low <= r.left && r.left <= r.high
	e.err[line30] = wrong(straight(j.clean, i, 30, target), r.left)
	e.err[line120] = wrong(straight(j.clean, i, 120, target), r.left)
	e.err[parabola] = wrong(quadratic(j.clean, i, 120, target), r.left)
	e.err[limitC] = wrong(j.c.forecast(r.at), r.left)
	e.err[limitD] = wrong(j.d.forecast(r.at), r.left)
	return e
}

// measure reads an outcome's rows.
func measure(o outcome) result {
	r := result{
		h: o.h, peakOff: nan, slope: o.slope, prompted: o.prompted,
		nearEarly: nan, nearAhead: nan,
	}
	measureStall(o, &r)
	measureAnswers(o, &r)
	if !math.IsNaN(o.pulled) && o.h.Kind.Arrives() {
		r.peakOff = o.peak - float64(o.h.Target)
	}
	if o.h.Kind.Arrives() && !math.IsNaN(o.boils) {
		measureNear(o, &r)
		measureErrors(o, &r)
	}
	return r
}

func measureStall(o outcome, r *result) {
	isStall := !math.IsNaN(o.boils) && (o.h.Kind.Arrives() || o.h.Kind == pot.Endless)
	end := o.stallEnd
	if math.IsNaN(end) && len(o.rows) > 0 {
		end = o.rows[len(o.rows)-1].at
	}
	limit := 30.0
	if !o.h.Told.Marks {
		limit = 120
	}
	if r.stallAsked = isStall && end-o.boils > limit+30; r.stallAsked {
		r.stallLimit = onsetLimit(o)
	}
	r.stallDelay = math.Inf(1)
	for _, w := range o.rows {
		if !w.stalled {
			continue
		}
		switch {
		case !isStall && o.h.Kind != pot.Below:
			r.stallFalse = true
		case isStall && w.at < o.boils-15:
			r.stallEarly = true
		case isStall && w.at >= o.boils && math.IsInf(r.stallDelay, 1):
			r.stallDelay = w.at - o.boils
		}
	}
}

func measureAnswers(o outcome, r *result) {
	g := grace(o.h)
	var last row
	for _, w := range o.rows {
		begun := w.at >= o.boils+g
		if math.IsNaN(o.boils) {
			begun = !o.h.Kind.Arrives() && w.at >= 60
		}
		if !begun || w.at >= o.pulled && o.h.Kind != pot.OffHeat {
			continue
		}
		has := !math.IsNaN(w.eta)
		switch {
		case o.h.Kind.Arrives() && w.left > 0:
			r.due++
			if has {
				r.answered++
				r.intervals++
				if w.low <= w.left && w.left <= w.high {
					r.covered++
				}
				// Both clocks run; what is left is the forecast's own move,
				// unless the truth itself moved with the heat.
				moved := w.eta - (last.eta - (w.at - last.at))
				steady := math.Abs(w.left-(last.left-(w.at-last.at))) < 1
				if last.at > 0 && steady && math.Abs(moved) > 0.3*w.left {
					r.jumps++
				}
				last = w
			}
		case math.IsNaN(w.left) || !o.h.Kind.Arrives() && w.left <= 0:
			r.cannot++
			if has {
				r.pretended++
			}
		}
	}
}

// measureNear looks when the near-target prompt came.
func measureNear(o outcome, r *result) {
	if math.IsNaN(o.arrival) || math.IsNaN(o.pulled) {
		return
	}
	r.nearAsked = true
	due := o.arrival - 30
	if o.nearDeg < due {
		due = o.nearDeg
	}
	if math.IsNaN(o.near) || o.near > o.arrival {
		r.nearMiss = true
		return
	}
	r.nearEarly, r.nearAhead = due-o.near, o.arrival-o.near
}

// measureErrors judges the fixed points, the stall, and the time after each
// change of heat.
func measureErrors(o outcome, r *result) {
	j := newJudge(o)
	g := grace(o.h)
	lefts := [points]float64{left5min: 300, left2min: 120, left1min: 60, left30s: 30}
	prev, nextStall := nan, o.boils+g
	age := newAges(o)
	for i, w := range o.rows {
		if !(w.left > 0) || w.at < o.boils+g {
			prev = w.left
			continue
		}
		hit := func(k int) bool {
			if r.point[k].valid {
				return false
			}
			switch k {
			case afterMinute:
				return true
			case halfWay:
				return w.at-o.boils >= w.left
			}
			return prev > lefts[k] && w.left <= lefts[k] && w.left > 0.8*lefts[k]
		}
		for k := range points {
			if hit(k) {
				r.point[k] = j.at(i)
			}
		}
		if w.at >= nextStall && (math.IsNaN(o.stallEnd) || w.at < o.stallEnd) {
			r.stall = append(r.stall, j.at(i))
			nextStall = w.at + 15
		}
		if a, ok := age.due(w.at); ok {
			a.judged = j.at(i)
			r.changes = append(r.changes, a)
		}
		prev = w.left
	}
	r.arrives = r.point[afterMinute].valid
}

// ageSteps are the ages after a change of heat that are looked at, s.
var ageSteps = [...]float64{15, 30, 45, 60, 90, 120, 180}

// ages finds the rows at those ages.
type ages struct {
	turns      []turned
	turn, step int
}

func newAges(o outcome) *ages { return &ages{turns: o.turns} }

func (a *ages) due(at float64) (out aged, ok bool) {
	for a.turn < len(a.turns) {
		t := a.turns[a.turn]
		if at >= t.later || a.step == len(ageSteps) {
			a.turn, a.step = a.turn+1, 0
			continue
		}
		if at < t.at+ageSteps[a.step] {
			return aged{}, false
		}
		out = aged{age: ageSteps[a.step], marked: t.marked, above: t.above}
		a.step++
		return out, true
	}
	return aged{}, false
}
