package ui

import (
	"math"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// chart is all that one picture of the batch needs.
type chart struct {
	hist     *History
	advice   plateau.Advice
	fold     plateau.Config
	unit     probe.Unit
	now      time.Duration // where the batch stands; nothing later is shown
	events   []Event
	ghosts   []ghost
	close    bool // the close view, else the whole batch
	stall    stretch
	stallLo  float64 // °C, the coldest and hottest reading of the stall; NaN without one
	stallHi  float64
	boilAt   time.Duration // when the whole pot last began to boil; 0 before that
	pulledAt time.Duration // 0 while the pot is on
}

// stretch is a piece of time.
type stretch struct {
	from, to time.Duration
	ok       bool
}

func newChart(h *History, a plateau.Advice, fold plateau.Config, u probe.Unit, now time.Duration) *chart {
	ch := &chart{hist: h, advice: a, fold: fold, unit: u, now: now, stallLo: math.NaN(), stallHi: math.NaN()}
	ch.events = h.Events(nil, now)
	for _, e := range ch.events {
		if e.Kind != EventPhase {
			continue
		}
		switch {
		case e.Phase == plateau.Stall && !ch.stall.ok:
			ch.stall = stretch{from: e.At, to: now, ok: true}
		case e.Phase != plateau.Stall && ch.stall.ok && ch.stall.to == now:
			ch.stall.to = e.At
		}
		switch {
		case e.Phase < plateau.Stall:
			ch.boilAt = 0
		case e.Phase <= plateau.Climb && ch.boilAt == 0:
			ch.boilAt = e.At
		}
		switch {
		case e.Phase < plateau.Pulled:
			ch.pulledAt = 0
		case ch.pulledAt == 0:
			ch.pulledAt = e.At
		}
	}
	if ch.stall.ok {
		ch.stallLo, ch.stallHi = extent(h.columns(ch.stall.from, max(ch.stall.to, ch.stall.from+time.Second), now, 64))
	}
	return ch
}

// extent returns the coldest and hottest reading of some columns, NaN when
// there is none.
func extent(cols []column) (lo, hi float64) {
	lo, hi = math.NaN(), math.NaN()
	for _, c := range cols {
		if !c.hasData {
			continue
		}
		if !(c.lo >= lo) {
			lo = c.lo
		}
		if !(c.hi <= hi) {
			hi = c.hi
		}
	}
	return lo, hi
}

// window is the stretch of time on the chart.
func (ch *chart) window() (from, to time.Duration) {
	ahead := ch.ahead()
	if ch.close {
		switch {
		case ch.pulledAt > 0:
			from = max(ch.pulledAt-5*time.Minute, ch.boilAt-time.Minute)
		case ch.boilAt > 0:
			from = ch.boilAt - time.Minute
		default:
			from = ch.now - 8*time.Minute
		}
		from = max(from, 0).Truncate(10 * time.Second)
	}
	to = max(ch.now+ahead, from+4*time.Minute)
	// A right end that moves in steps keeps the picture still between them.
	grain := max((to-from)/12, 30*time.Second).Truncate(30 * time.Second)
	return from, (to + grain - 1).Truncate(grain)
}

// ahead is how much of the future the chart shows.
func (ch *chart) ahead() time.Duration {
	if f := ch.advice.Forecast; f.Ok() {
		return latest(f) + 20*time.Second
	}
	return 0
}

// degrees is the range of temperatures on the chart, on the reader's scale.
func (ch *chart) degrees(cols []column) (lo, hi float64) {
	lo, hi = extent(cols)
	target := float64(ch.fold.Target)
	if ch.advice.Target != 0 {
		target = float64(ch.advice.Target)
	}
	include := func(v float64) {
		if math.IsNaN(v) {
			return
		}
		if !(lo <= v) {
			lo = v
		}
		if !(hi >= v) {
			hi = v
		}
	}
	if ch.close && ch.boilAt > 0 {
		// Round the stall and the target; what lies outside runs off the edge.
		lo, hi = extent(ch.hist.columns(ch.boilAt, max(ch.now, ch.boilAt+time.Second), ch.now, 64))
		if ch.pulledAt > 0 {
			lo = math.NaN()
			include(float64(ch.dipClose()) - 2)
			if ch.advice.HasNow {
				include(max(float64(ch.advice.Now), float64(ch.dipClose())-8))
			}
		}
	}
	include(target)
	if ch.close {
		include(target + 1)
	} else if math.IsNaN(lo) || lo > 20 {
		include(20)
	}
	if math.IsNaN(lo) {
		lo, hi = 20, 120
	}
	return ch.unit.Of(probe.Celsius(lo)), ch.unit.Of(probe.Celsius(hi))
}

func (ch *chart) target() probe.Celsius {
	if ch.advice.Target != 0 {
		return ch.advice.Target
	}
	return ch.fold.Target
}

// dip is the dip window, from the fold where it has said so.
func dip(a plateau.Advice, fold plateau.Config) (hot, cool probe.Celsius) {
	hot, cool = probe.Fahrenheit(215), probe.Fahrenheit(210)
	if fold.DipOpen != 0 {
		hot = fold.DipOpen
	}
	if fold.DipClose != 0 {
		cool = fold.DipClose
	}
	if a.DipOpen != 0 {
		hot, cool = a.DipOpen, a.DipClose
	}
	return hot, cool
}

func (ch *chart) dipOpen() probe.Celsius {
	hot, _ := dip(ch.advice, ch.fold)
	return hot
}

func (ch *chart) dipClose() probe.Celsius {
	_, cool := dip(ch.advice, ch.fold)
	return cool
}
