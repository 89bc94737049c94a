package main

import (
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
	"boildown/probe/pot"
)

// forecaster is what is measured: the fold, or a stand-in in a test.
type forecaster interface {
	step(in plateau.Input) plateau.Advice
}

// fold is the real one.
type fold struct{ s plateau.State }

func (f *fold) step(in plateau.Input) (a plateau.Advice) {
	f.s, a = plateau.Step(f.s, in)
	return a
}

// row is one reading with the truth beside it.
type row struct {
	at      float64 // s since the start of the cook
	c       float64 // the reading as the program corrects it, °C
	ok      bool    // the reading is there
	trueC   float64 // the pot, as a faultless and prompt probe would show it, corrected
	left    float64 // s to the target with the heat as it is; NaN when it won't get there
	eta     float64 // the forecast, s; NaN for none
	low     float64
	high    float64
	why     plateau.Why
	stalled bool
}

// turned is a change of the heat that happened.
type turned struct {
	at     float64
	marked bool
	above  bool // the pot stood above 225 °F or its equal at this pressure
	later  float64
}

// outcome is all that a cook leaves behind.
type outcome struct {
	h    pot.Hard
	rows []row

	boils    float64 // s when the whole pot boils after the last cream; NaN for never
	stallEnd float64 // s when the stall is over; NaN for never
	creamEnd float64 // s when the last cream is in
	turns    []turned
	pulled   float64 // s when the pot left the heat; NaN for never
	arrival  float64 // s when the target would have come, as the heat stood at the pull or the end
	near     float64 // s of the first near-target prompt; NaN for never
	nearDeg  float64 // s when the pot stood the set degrees under the target; NaN for never
	peak     float64 // hottest that the pulled pot gets, on the corrected scale, °C
	slope    float64 // slope of the pot at the pull, K/min
	prompted bool    // the pull was prompted
}

var nan = math.NaN()

// told is the fold's config for a cook.
func told(h pot.Hard, carryOver float64) plateau.Config {
	cfg := plateau.Config{
		Target:      h.Target,
		Pressure:    h.Told.PressurePa,
		Calibration: h.Told.Calibration,
		Lag:         h.Told.Lag,
		Reaction:    h.Told.Reaction,
	}
	if h.Told.CarryOver {
		cfg.CarryOver = probe.Delta(carryOver)
	}
	if h.Told.Recipe {
		cfg.Batch = plateau.Batch{Melt: h.Config.Melt, Cream: h.Config.Cream, PotJK: h.Config.PotJK}
	}
	return cfg
}

// cooker runs one cook before a forecaster.
type cooker struct {
	h    pot.Hard
	p    *pot.Pot
	hand *pot.Cook
	f    forecaster
	out  *outcome

	boilAt  time.Duration // −1 before
	boilRun time.Duration // since when it has boiled without a break
	turn    int
	pullAt  time.Duration // −1 while nothing is decided
	isOff   bool
	alertAt time.Duration // the last near-target prompt
	want    time.Duration // arrival with the heat as it is; −1 for never
	last    plateau.Advice
}

// horizon is as far as the truth looks ahead. What takes longer does not
// count as being on its way.
const horizon = 3 * time.Hour

// cook runs h before f. The rows are appended to spare.
func cook(h pot.Hard, f forecaster, spare []row) outcome {
	out := outcome{
		h: h, rows: spare[:0], boils: nan, stallEnd: nan, creamEnd: nan,
		pulled: nan, arrival: nan, near: nan, nearDeg: nan,
	}
	c := &cooker{h: h, p: pot.New(h.Config), hand: pot.NewCook(), f: f, out: &out, boilAt: -1, pullAt: -1, want: -1}
	c.hand.Target, c.hand.LowerAt = 1000, 0
	for at := time.Duration(0); !c.over(at); at += h.Config.Probe.Every {
		c.untilRow(at)
		c.row(at)
	}
	return out
}

// over reports whether the cook has nothing more to show at the given time.
func (c *cooker) over(at time.Duration) bool {
	switch {
	case c.isOff && c.h.Kind == pot.OffHeat:
		return at.Seconds() > c.out.pulled+15*60
	case c.isOff:
		return at.Seconds() > c.out.pulled+60
	case c.h.Kind == pot.Water:
		return at > 25*time.Minute
	case c.h.Kind == pot.DrySugar:
		return at > 90*time.Minute || float64(c.p.True()) > 205
	case c.h.Kind == pot.Below:
		return at > 10*time.Minute
	case c.h.Kind == pot.Endless && c.boilAt >= 0:
		return at > c.boilAt+40*time.Minute
	}
	return at > 4*time.Hour
}

// untilRow lets the pot run to at, doing on the way what the cook does at
// times of its own.
func (c *cooker) untilRow(at time.Duration) {
	for {
		next, do := at+1, (func(time.Duration))(nil)
		if c.pullAt >= 0 && c.pullAt <= at {
			next, do = c.pullAt, c.pull
		}
		if c.boilAt >= 0 && !c.isOff && c.turn < len(c.h.Turns) {
			if t := c.boilAt + c.h.Turns[c.turn].After; t <= at && t < next {
				next, do = t, c.doTurn
			}
		}
		if do == nil {
			c.p.Advance(at)
			return
		}
		c.p.Advance(next)
		do(next)
	}
}

func (c *cooker) mark(at time.Duration, word string, tell bool) {
	if !tell {
		return
	}
	if m, ok := plateau.MarkFor(word); ok {
		c.step(plateau.Input{Kind: plateau.Marked, At: at.Round(time.Millisecond), Mark: m})
	}
}

func (c *cooker) step(in plateau.Input) plateau.Advice {
	c.last = c.f.step(in)
	// A cook that cannot arrive is left to run, whatever is prompted.
	if c.last.Began.Has(plateau.PullNow) && c.pullAt < 0 && !c.isOff && c.boilAt >= 0 && c.h.Kind.Arrives() {
		c.pullAt, c.out.prompted = in.At+c.h.Reaction, true
	}
	if c.last.Began.Has(plateau.NearTarget) {
		c.alertAt = in.At
		if math.IsNaN(c.out.near) && c.boilAt >= 0 {
			c.out.near = in.At.Seconds()
		}
	}
	return c.last
}

// truth looks ahead with the heat as it is now.
func (c *cooker) truth(at time.Duration) {
	c.want = -1
	if c.p.OnHeat() {
		if t, ok := c.p.Arrival(c.h.Shown(), horizon); ok {
			c.want = t
		}
	}
}

// row looks at the pot and the probe once.
func (c *cooker) row(at time.Duration) {
	r := c.p.Read()
	r.At = at
	c.work(at, r)
	a := c.step(plateau.Reading(r))
	corrected := float64(c.h.Told.Calibration.Apply(r.C))
	w := row{
		at: at.Seconds(), c: corrected, ok: r.Fault == probe.FaultNone,
		trueC: float64(c.p.True()) + float64(c.h.Residual()),
		left:  nan, eta: nan, low: nan, high: nan,
		why: a.Why, stalled: a.Stalled,
	}
	if a.Forecast.Ok() {
		w.eta, w.low, w.high = a.Forecast.ETA.Seconds(), a.Forecast.Low.Seconds(), a.Forecast.High.Seconds()
	}
	if c.boilAt >= 0 && !c.isOff {
		c.follow(at, &w)
	}
	c.out.rows = append(c.out.rows, w)
}

// follow keeps the book of a pot that boils.
func (c *cooker) follow(at time.Duration, w *row) {
	if c.want >= 0 {
		w.left = (c.want - at).Seconds()
		c.out.arrival = c.want.Seconds()
	}
	if math.IsNaN(c.out.stallEnd) && float64(c.p.BoilingPoint()-c.p.WaterBoils()) >= 12/1.8 {
		c.out.stallEnd = w.at
	}
	if math.IsNaN(c.out.nearDeg) && w.trueC >= float64(c.h.Target)-5/1.8 {
		c.out.nearDeg = w.at
	}
	if c.h.Kind.Arrives() && c.pullAt < 0 && w.trueC > float64(c.h.Target)+4 {
		c.pull(at) // no prompt came
	}
}
