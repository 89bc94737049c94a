package ui

import (
	"fmt"
	"time"

	"boildown/plateau"
	"boildown/probe"
)

// hero draws the temperature on the left and the time left on the right.
func (sc *scene) hero(cv *canvas, y int, p plan) {
	x := sc.figures(cv, 1, y, p)
	sc.timeLeft(cv, x+3, y, cv.w-x-4, p)
}

// figures draws the temperature: whole degrees as large as the plan allows,
// the tenth smaller, the unit beside it. Returns the column after it.
func (sc *scene) figures(cv *canvas, x, y int, p plan) int {
	a := sc.snap.Advice
	if !a.HasNow {
		x = cv.large(x, y, p.heroScale, stale, true, "---")
		return cv.text(x, y+p.hero-1, stale, "no reading") + 0
	}
	old := sc.readingOld()
	st := heat
	if old {
		st = stale
	}
	whole, tenth := digits(a.Now, sc.unit)
	x = cv.large(x, y, p.heroScale, st, old, whole)
	small := max(p.heroScale-1, 1)
	drop := p.hero - largeHeight(small)
	tx := cv.large(x, y+drop, small, st, old, "."+tenth)
	ux := x
	if drop == 0 {
		ux = tx
	}
	end := cv.text(ux, y, st, sc.unit.String())
	if old && drop > 1 {
		end = max(end, cv.text(ux, y+1, stale, "old"))
	}
	return max(tx, end)
}

// timeLeft draws how long is left in figures, in words and as a shape.
func (sc *scene) timeLeft(cv *canvas, x, y, w int, p plan) {
	a := sc.snap.Advice
	switch {
	case a.Phase >= plateau.Pulled:
		sc.cooling(cv, x, y, w, p)
	case a.Forecast.Ok():
		sc.forecast(cv, x, y, w, p)
	default:
		sc.noForecast(cv, x, y, w, p)
	}
}

// forecast fills the right half with an interval. What matters most is drawn
// last on the way down, so that a low window loses the small print.
func (sc *scene) forecast(cv *canvas, x, y, w int, p plan) {
	f := sc.snap.Advice.Forecast
	r := remainingOf(f)
	head := "time left to " + temp(sc.target(), sc.unit)
	if f.Guess {
		head = "a guess: " + head
	}
	scale := largest(r.figures(), max(p.heroScale-1, 1), w-4, p.hero-2)
	if scale == 0 {
		cv.textTo(x, y, cv.w, left, r.words())
		sc.spreadBar(cv, x, y+1, w, f)
		cv.textTo(x, y+2, cv.w, plain, "likely "+r.likely+" "+r.unit)
		return
	}
	room := p.hero - largeHeight(scale)
	if room >= 2 {
		cv.textTo(x, y, cv.w, plain, head)
		y++
	}
	end := cv.large(x, y, scale, left, f.Guess, r.figures())
	cv.textTo(end+scale, y+largeHeight(scale)-1, cv.w, left, r.unit)
	y += largeHeight(scale)
	if room >= 3 {
		cv.textTo(x, y, cv.w, plain, "most likely "+r.likely+" "+r.unit+", right 4 times in 5")
		y++
	}
	if room >= 2 {
		sc.spreadBar(cv, x, y, w, f)
		y++
	}
	if room >= 4 {
		cv.textTo(x, y, cv.w, faint, sc.toGo())
	}
}

// toGo says how far the pot is from the target and how fast it goes there.
func (sc *scene) toGo() string {
	a := sc.snap.Advice
	gap := probe.Delta(sc.target() - a.Now)
	s := diff(gap, sc.unit) + " to go"
	if gap < 0 {
		s = diff(-gap, sc.unit) + " over"
	}
	return s + ", " + rising(a.Slope, sc.unit)
}

// spreadBar draws a forecast on a line of time that starts now: the interval
// shaded, the likeliest moment solid, the far end named.
func (sc *scene) spreadBar(cv *canvas, x, y, w int, f plateau.Forecast) {
	span := niceSpan(f.High)
	end := " " + long(span)
	n := min(w-4-len(end)-1, 48)
	if n < 6 {
		return
	}
	x = cv.text(x, y, faint, "now ")
	at := func(d time.Duration) int { return min(int(int64(n)*int64(max(d, 0))/int64(span)), n-1) }
	for i := range n {
		r, st := '─', faint
		switch {
		case i == at(f.ETA):
			r, st = '█', left
		case i >= at(f.Low) && i <= at(f.High):
			r, st = '▒', left
		}
		cv.set(x+i, y, r, st)
	}
	cv.text(x+n, y, faint, end)
}

// niceSpan is the length of the time line: it changes rarely, so that the
// block is seen to come closer.
func niceSpan(d time.Duration) time.Duration {
	for _, s := range [...]time.Duration{time.Minute, 2 * time.Minute, 5 * time.Minute, 10 * time.Minute, 20 * time.Minute, 40 * time.Minute, time.Hour, 2 * time.Hour, 4 * time.Hour} {
		if d <= s {
			return s
		}
	}
	return 12 * time.Hour
}

// noForecast says why no time can be told, and what can.
func (sc *scene) noForecast(cv *canvas, x, y, w int, p plan) {
	a := sc.snap.Advice
	short, full := whyWords(a.Why)
	head, st := "time left: "+short, strong
	if short == "" {
		head, st = "target "+temp(sc.target(), sc.unit), strong
	}
	cv.textTo(x, y, cv.w, st, head)
	y++
	if p.hero >= 5 && full != "" {
		cv.textTo(x, y, cv.w, plain, full)
		y++
	}
	if a.HasNow {
		cv.textTo(x, y, cv.w, plain, rising(a.Slope, sc.unit))
		cv.textTo(x, y+1, cv.w, plain, diff(probe.Delta(sc.target()-a.Now), sc.unit)+" below target")
		if a.Now > sc.target() {
			cv.fill(x, y+1, cv.w-x, 1, plain)
		}
	}
}

// cooling shows what counts after the pull: the peak and the dip window.
func (sc *scene) cooling(cv *canvas, x, y, w int, p plan) {
	a := sc.snap.Advice
	ch := chart{fold: sc.cfg.Fold}
	rows := []string{}
	if a.Peak != 0 {
		over := probe.Delta(a.Peak - sc.target())
		word := "above"
		if over < 0 {
			word, over = "below", -over
		}
		rows = append(rows, fmt.Sprintf("peak %s, %s %s target", temp(a.Peak, sc.unit), diff(over, sc.unit), word))
	}
	dip := fmt.Sprintf("dip from %s down to %s", number(ch.dipOpen(), sc.unit), temp(ch.dipClose(), sc.unit))
	rows = append([]string{dip}, rows...)
	if a.HasNow && a.Phase == plateau.Pulled && a.Now > ch.dipOpen() {
		rows = append(rows, diff(probe.Delta(a.Now-ch.dipOpen()), sc.unit)+" to cool before the dip")
	}
	if a.HasNow && a.Phase == plateau.Dip {
		rows = append(rows, diff(probe.Delta(max(a.Now-ch.dipClose(), 0)), sc.unit)+" left of the dip")
	}
	rows = append(rows, rising(a.Slope, sc.unit))
	for i, s := range rows {
		if i >= p.hero {
			break
		}
		st := plain
		if i == 0 {
			st = strong
		}
		cv.textTo(x, y+i, cv.w, st, s)
	}
}
